/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The keys of Practice in words, for the list of all keys. What they do is told by the views that take them; a drill is
 * done with the keys of the bench, and these besides. Some thirty lines. */
#include "config.h"

#include "bl-practice-keys.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

/* cap NULL: a heading. */
static const struct
{
  const char *cap, *label;
} keys[] = {
  { NULL, N_ ("Practice") },
  { N_ ("1 – 5"), N_ ("begin: way, readings, case, drill, planted") },
  { N_ ("C"), N_ ("compose a set: how many, then Enter") },
  { N_ ("↑ ↓"), N_ ("in the list of persons: who practises") },
  { N_ ("Tab"), N_ ("persons, board, sections, drills, what is due") },
  { N_ ("Enter"), N_ ("open the drill, or what is due, in hand") },
  { NULL, N_ ("Questions") },
  { N_ ("1 – 9"), N_ ("choose an answer") },
  { N_ ("0"), N_ ("not known") },
  { N_ ("← → ↑ ↓"), N_ ("cross on the photo; with Shift finer") },
  { N_ ("Enter"), N_ ("press where the cross is; keep; go on") },
  { N_ ("F3"), N_ ("front, back") },
  { N_ ("Esc"), N_ ("back") },
  { NULL, N_ ("Worked case") },
  { N_ ("Enter →"), N_ ("next step") },
  { N_ ("←"), N_ ("the step before") },
  { N_ ("1 – 9"), N_ ("choose what to measure") },
  { N_ ("Alt Q"), N_ ("leave") },
  { NULL, N_ ("Fault drill, with the keys of the bench") },
  { N_ ("Enter"), N_ ("take the reading of the point in hand") },
  { N_ ("TP5 Enter"), N_ ("to a point") },
  { N_ ("Alt C"), N_ ("read the cautions") },
  { N_ ("Ctrl F"), N_ ("name what failed; Enter twice ends the drill") },
  { N_ ("F7"), N_ ("test the part that is named by itself") },
  { N_ ("Alt Q"), N_ ("leave; it is taken up again from the list") },
  { NULL, N_ ("Drill looked back on") },
  { N_ ("← →"), N_ ("step by step") },
  { N_ ("Home End"), N_ ("first, last step") },
  { N_ ("B"), N_ ("your path, or the best plan") },
  { N_ ("F6"), N_ ("fault tree in full") },
  { N_ ("Alt Q"), N_ ("leave") },
};

void
bl_practice_keys_list (GtkGrid *grid, int column)
{
  g_return_if_fail (GTK_IS_GRID (grid));

  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      GtkWidget *label = bl_label (_ (keys[i].label), keys[i].cap == NULL ? "heading" : NULL, 0);
      if (keys[i].cap == NULL)
        {
          gtk_grid_attach (grid, label, column, (int) i, 2, 1);
          continue;
        }
      GtkWidget *cap = bl_key_cap (_ (keys[i].cap));
      gtk_widget_set_halign (cap, GTK_ALIGN_END);
      gtk_grid_attach (grid, cap, column, (int) i, 1, 1);
      gtk_grid_attach (grid, label, column + 1, (int) i, 1, 1);
    }
}
