/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The keys of the board editor in one table: what they do, and the strip at its foot. Plain letters
 * count only while the focus is in no entry. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-compare-view.h"
#include "bl-style.h"

#define C GDK_CONTROL_MASK
#define S GDK_SHIFT_MASK
#define A GDK_ALT_MASK
#define POINTS (1 << BL_EDITOR_POINTS)
#define STRUCTURE (1 << BL_EDITOR_STRUCTURE)
#define GOOD (1 << BL_EDITOR_GOOD)
#define PHOTOS (1 << BL_EDITOR_PHOTOS)
#define ALL 0x7f
#define LAYERED (ALL & ~(1 << BL_EDITOR_BOARD) & ~PHOTOS) /* as bl_editor_has_layers () */

static const struct
{
  guint keyval;
  GdkModifierType modifiers;
  gboolean plain; /* not while typing */
  guint parts;
  const char *act;
  const char *cap, *label; /* NULL: not in the strip */
  gboolean on_button;      /* its key stands over the photo: in the list of keys only */
} keys[] = {
  { GDK_KEY_p, 0, TRUE, POINTS, "tool-point", N_ ("P"), N_ ("place points"), TRUE },
  { GDK_KEY_p, 0, TRUE, STRUCTURE, "tool-point", N_ ("P"), N_ ("place components"), TRUE },
  { GDK_KEY_p, S, TRUE, POINTS | STRUCTURE, "place-waiting", N_ ("Shift P"), N_ ("place what waits") },
  { GDK_KEY_slash, 0, TRUE, ALL, "find", N_ ("/"), N_ ("find on the board"), TRUE },
  { GDK_KEY_slash, S, TRUE, ALL, "find", NULL, NULL },
  { GDK_KEY_f, C, FALSE, ALL, "find", NULL, NULL },
  { GDK_KEY_j, C, FALSE, ALL, "find", NULL, NULL },
  { GDK_KEY_l, 0, TRUE, LAYERED, "layers", N_ ("L"), N_ ("layers of the photo on and off"), TRUE },
  { GDK_KEY_l, A, FALSE, LAYERED, "layers", NULL, NULL },
  { GDK_KEY_r, 0, TRUE, STRUCTURE, "tool-rectangle", N_ ("R"), N_ ("rectangle"), TRUE },
  { GDK_KEY_g, 0, TRUE, STRUCTURE, "tool-polygon", N_ ("G"), N_ ("polygon"), TRUE },
  { GDK_KEY_t, 0, TRUE, STRUCTURE, "templates", N_ ("T"), N_ ("section from a template") },
  { GDK_KEY_e, 0, TRUE, STRUCTURE, "mode-write", NULL, NULL },
  { GDK_KEY_u, 0, TRUE, STRUCTURE, "usual-modes", NULL, NULL },
  { GDK_KEY_a, 0, TRUE, STRUCTURE, "mode-accept", NULL, NULL },
  { GDK_KEY_Down, 0, TRUE, GOOD, "good-next", N_ ("↑ ↓"), N_ ("measurement") },
  { GDK_KEY_Up, 0, TRUE, GOOD, "good-previous", NULL, NULL },
  { GDK_KEY_a, 0, TRUE, GOOD, "good-accept", N_ ("A"), N_ ("accept its band") },
  { GDK_KEY_w, 0, TRUE, GOOD, "good-accept-without", N_ ("W"), N_ ("accept without outlier") },
  { GDK_KEY_r, 0, TRUE, GOOD, "good-refuse", N_ ("R"), N_ ("refuse") },
  { GDK_KEY_k, 0, TRUE, PHOTOS, "landmarks", N_ ("K"), N_ ("set landmarks") },
  { GDK_KEY_s, 0, TRUE, PHOTOS, "landmark-skip", N_ ("S"), N_ ("skip one") },
  { GDK_KEY_x, 0, TRUE, PHOTOS, "photo-swap", N_ ("X"), N_ ("exchange the photos") },
  { GDK_KEY_b, 0, TRUE, PHOTOS, "photo-beside", N_ ("B"), N_ ("another beside it") },
  { GDK_KEY_o, 0, TRUE, POINTS | STRUCTURE, "far", N_ ("O"), N_ ("other side") },
  { GDK_KEY_m, 0, TRUE, POINTS | STRUCTURE | PHOTOS, "ruler", N_ ("M"), N_ ("ruler, mm") },
  { GDK_KEY_F2, 0, FALSE, POINTS | STRUCTURE, "rename", N_ ("F2"), N_ ("rename") },
  { GDK_KEY_F6, 0, FALSE, POINTS, "entry-kind", NULL, NULL },
  { GDK_KEY_F7, 0, FALSE, POINTS, "entry-state", NULL, NULL },
  { GDK_KEY_F8, 0, FALSE, POINTS, "entry-black", NULL, NULL },
  { GDK_KEY_Delete, 0, TRUE, POINTS | STRUCTURE | PHOTOS, "delete", N_ ("Del"), N_ ("delete") },
  { GDK_KEY_F3, 0, FALSE, ALL, "side", N_ ("F3"), N_ ("front, back") },
  { GDK_KEY_F9, 0, FALSE, ALL, "check-next", N_ ("F9"), N_ ("next missing") },
  { GDK_KEY_F9, S, FALSE, ALL, "check-aside", NULL, NULL },
  { GDK_KEY_z, C, FALSE, ALL, "undo", N_ ("Ctrl Z"), N_ ("undo") },
  { GDK_KEY_z, C | S, FALSE, ALL, "redo", N_ ("Ctrl Shift Z"), N_ ("redo") },
  { GDK_KEY_1, A, FALSE, ALL, "part-0", N_ ("Alt 1–7"), N_ ("parts") },
  { GDK_KEY_2, A, FALSE, ALL, "part-1", NULL, NULL },
  { GDK_KEY_3, A, FALSE, ALL, "part-2", NULL, NULL },
  { GDK_KEY_4, A, FALSE, ALL, "part-3", NULL, NULL },
  { GDK_KEY_5, A, FALSE, ALL, "part-4", NULL, NULL },
  { GDK_KEY_6, A, FALSE, ALL, "part-5", NULL, NULL },
  { GDK_KEY_7, A, FALSE, ALL, "part-6", NULL, NULL },
  { GDK_KEY_d, C, FALSE, 1 << BL_EDITOR_BOARD, "next-edition", N_ ("Ctrl D"), N_ ("copy to the next edition") },
  { GDK_KEY_c, A, FALSE, 1 << BL_EDITOR_BOARD, "compare", N_ ("Alt C"), N_ ("beside another edition") },
  { GDK_KEY_d, C, FALSE, ALL, "next-edition", NULL, NULL },
  { GDK_KEY_c, A, FALSE, ALL, "compare", NULL, NULL },
  { GDK_KEY_z, 0, TRUE, ALL, "fit", N_ ("Z"), N_ ("whole board") },
  { GDK_KEY_0, C, FALSE, ALL, "fit", NULL, NULL },
  { GDK_KEY_plus, C, FALSE, ALL, "larger", NULL, NULL },
  { GDK_KEY_plus, C | S, FALSE, ALL, "larger", NULL, NULL },
  { GDK_KEY_equal, C, FALSE, ALL, "larger", NULL, NULL },
  { GDK_KEY_minus, C, FALSE, ALL, "smaller", NULL, NULL },
  { GDK_KEY_Escape, 0, FALSE, ALL, "escape", N_ ("Esc"), N_ ("back") },
};

const char *
bl_editor_keys_find (BlEditorPart part, guint keyval, GdkModifierType state, gboolean typing)
{
  GdkModifierType modifiers = state & (C | S | A);
  guint lower = gdk_keyval_to_lower (keyval);

  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    if (keys[i].keyval == lower && keys[i].modifiers == modifiers && (keys[i].parts & (1u << part)) != 0
        && !(keys[i].plain && typing))
      return keys[i].act;
  return NULL;
}

void
bl_editor_keys_show (GtkWidget *box, BlEditorPart part)
{
  bl_widget_clear (box);
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      GtkWidget *key;
      if (keys[i].cap == NULL || keys[i].on_button || (keys[i].parts & (1u << part)) == 0)
        continue;
      key = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
      gtk_box_append (GTK_BOX (key), bl_key_cap (_ (keys[i].cap)));
      gtk_box_append (GTK_BOX (key), bl_label (_ (keys[i].label), "muted", 0));
      gtk_box_append (GTK_BOX (box), key);
    }
}

/* What has no room in the strip, or is done with the mouse. */
static const struct
{
  const char *cap, *label;
} more[] = {
  { N_ ("Ctrl + −"), N_ ("larger, smaller") },
  { N_ ("Ctrl 0"), N_ ("whole board") },
  { N_ ("two presses"), N_ ("rename a point, stage or component") },
  { N_ ("drag"), N_ ("move a point, component or corner; an edge makes a corner") },
  { N_ ("Shift drag"), N_ ("move an outline whole") },
  { N_ ("Ctrl held"), N_ ("draw without catching on corners and edges") },
  { N_ ("Backspace"), N_ ("take the last one placed back") },
  { N_ ("Enter"), N_ ("keep what is typed; close a polygon") },
  { N_ ("0–9 < >"), N_ ("begin the measurement of the point in hand") },
  { N_ ("F6 F7 F8"), N_ ("its kind, state, black lead") },
  { N_ ("other button"), N_ ("black lead to the point pressed") },
  { N_ ("↓"), N_ ("from the search to the list") },
  { N_ ("0–9 g s p"), N_ ("colour of the band in hand") },
  { N_ ("Shift F9"), N_ ("what is missing does not apply to this board") },
  { N_ ("E"), N_ ("write what a component's faults do") },
  { N_ ("Tab"), N_ ("go on with the marked name in a sentence; ↓ marks another") },
  { N_ ("U"), N_ ("add the usual faults of a component") },
  { N_ ("A"), N_ ("accept the proposed effects of the fault in hand") },
};

static void
add_line (GtkGrid *grid, int column, int row, const char *words, const char *label)
{
  GtkWidget *cap = bl_key_cap (words);

  gtk_widget_set_halign (cap, GTK_ALIGN_END);
  gtk_grid_attach (grid, cap, column, row, 1, 1);
  gtk_grid_attach (grid, bl_label (label, NULL, 0), column + 1, row, 1, 1);
}

void
bl_editor_keys_list (GtkGrid *grid, int column)
{
  int row = 0;

  gtk_grid_attach (grid, bl_label (_ ("Boards and their editor"), "heading", 0), column, row++, 2, 1);
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    if (keys[i].cap != NULL)
      add_line (grid, column, row++, _ (keys[i].cap), _ (keys[i].label));
  for (guint i = 0; i < G_N_ELEMENTS (more); i++)
    add_line (grid, column, row++, _ (more[i].cap), _ (more[i].label));
  bl_compare_keys_list (grid, column, row);
}
