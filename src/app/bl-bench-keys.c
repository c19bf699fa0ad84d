/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every key of the program in one table.
 *
 * On the bench the hands hold probes and the focus is in the entry, so keys are looked up before the
 * focused widget sees them. Plain letters would be lost to typing: they count only while the entry is
 * empty. Editing keys of an entry (Home, Backspace, Ctrl A ...) are not in the table. */
#include "config.h"

#include "bl-bench-keys.h"

#include <glib/gi18n-lib.h>

#include "bl-cautions-view.h"
#include "bl-editor.h"
#include "bl-practice-keys.h"
#include "bl-style.h"

#define C GDK_CONTROL_MASK
#define S GDK_SHIFT_MASK
#define A GDK_ALT_MASK

static const BlKey keys[] = {
  { 0, 0, N_ ("Enter"), N_ ("keep, go on"), NULL, NULL, FALSE, 1 },
  { 0, 0, N_ ("–"), N_ ("not reached"), NULL, NULL, FALSE, 2 },
  { GDK_KEY_F2, 0, N_ ("F2"), N_ ("state"), "bench.state", NULL, FALSE, 3 },
  { GDK_KEY_F3, 0, N_ ("F3"), N_ ("front, back"), "bench.side", NULL, FALSE, 4 },
  { GDK_KEY_F4, 0, N_ ("F4"), N_ ("meter"), "bench.meter", NULL, FALSE, 5 },
  { GDK_KEY_F5, 0, N_ ("F5"), N_ ("probe view"), "bench.probe", NULL, FALSE, 6 },
  { GDK_KEY_F6, 0, N_ ("F6"), N_ ("tree"), "bench.tree", NULL, FALSE, 7 },
  { GDK_KEY_f, A, N_ ("Alt F"), N_ ("find in the fault tree"), "bench.tree-find", NULL, FALSE, 0 },
  { GDK_KEY_F7, 0, N_ ("F7"), N_ ("part"), "bench.part", NULL, FALSE, 8 },
  { GDK_KEY_F8, 0, N_ ("F8"), N_ ("log"), "bench.log", NULL, FALSE, 0 },
  { GDK_KEY_F9, 0, N_ ("F9"), N_ ("twin"), "bench.twin", NULL, FALSE, 9 },
  { GDK_KEY_F12, 0, N_ ("F12"), N_ ("live meter"), "bench.live", NULL, FALSE, 6 },
  { 0, 0, N_ ("Space"), N_ ("take what the live meter shows"), NULL, NULL, FALSE, 0 },
  { GDK_KEY_z, C, N_ ("Ctrl Z"), N_ ("undo"), "bench.undo", NULL, FALSE, 10 },
  { GDK_KEY_z, C | S, N_ ("Ctrl Shift Z"), N_ ("redo"), "bench.redo", NULL, FALSE, 11 },
  { GDK_KEY_k, C, N_ ("Ctrl K"), N_ ("strike"), "bench.strike", NULL, FALSE, 15 },
  { GDK_KEY_d, C, N_ ("Ctrl D"), N_ ("proof of dead"), "bench.proof", NULL, FALSE, 14 },
  { GDK_KEY_question, 0, N_ ("?"), N_ ("why"), "bench.why", NULL, TRUE, 13 },
  { GDK_KEY_question, S, N_ ("?"), NULL, "bench.why", NULL, TRUE, 0 },
  { 0, 0, N_ ("Alt D"), N_ ("reasons: their figures"), NULL, NULL, FALSE, 0 },
  { 0, 0, N_ ("Alt N"), N_ ("reasons: next reading that does not fit"), NULL, NULL, FALSE, 0 },
  { 0, 0, N_ ("Alt M"), N_ ("reasons: measure it again"), NULL, NULL, FALSE, 0 },
  { 0, 0, N_ ("Alt S"), N_ ("reasons: strike it"), NULL, NULL, FALSE, 0 },
  { 0, 0, N_ ("Alt X"), N_ ("reasons: its expected value"), NULL, NULL, FALSE, 0 },
  { GDK_KEY_slash, 0, N_ ("/"), N_ ("free entry: value, point or part"), "bench.free", NULL, TRUE, 0 },
  { GDK_KEY_1, A, N_ ("Alt 1"), N_ ("take the first measurement offered"), "bench.next-1", NULL, FALSE, 0 },
  { GDK_KEY_2, A, N_ ("Alt 2"), N_ ("take the second"), "bench.next-2", NULL, FALSE, 0 },
  { GDK_KEY_3, A, N_ ("Alt 3"), N_ ("take the third"), "bench.next-3", NULL, FALSE, 0 },
  { GDK_KEY_Up, 0, N_ ("↑"), N_ ("previous measurement"), "bench.previous", NULL, FALSE, 0 },
  { GDK_KEY_Down, 0, N_ ("↓"), N_ ("next measurement"), "bench.following", NULL, FALSE, 0 },
  { GDK_KEY_b, A, N_ ("Alt B"), N_ ("to the suspect board of an equipment, and back"), "bench.suspect-board", NULL, FALSE, 0 },
  { 0, 0, N_ ("Ctrl E"), N_ ("job on an equipment: its drawing, or the photo"), NULL, NULL, FALSE, 0 },
  { GDK_KEY_t, C | S, N_ ("Ctrl Shift T"), N_ ("readings told by somebody else"), "bench.told", NULL, FALSE, 17 },
  { GDK_KEY_e, C | S, N_ ("Ctrl Shift E"), N_ ("sheet of an equipment's field checks"), "bench.field-sheet", NULL, FALSE, 16 },
  { GDK_KEY_w, A, N_ ("Alt W"), N_ ("which box of an equipment feeds which"), "bench.direction", NULL, FALSE, 0 },
  { GDK_KEY_j, C, N_ ("Ctrl J"), N_ ("find on the board, and go there"), "bench.find", NULL, FALSE, 0 },
  { GDK_KEY_l, A, N_ ("Alt L"), N_ ("layers of the photo on and off"), "bench.layers", NULL, FALSE, 0 },
  { GDK_KEY_b, C, N_ ("Ctrl B"), N_ ("fold what is in band"), "bench.fold", NULL, FALSE, 0 },
  { GDK_KEY_r, C, N_ ("Ctrl R"), N_ ("begin a new round"), "bench.round", NULL, FALSE, 0 },
  { GDK_KEY_g, C, N_ ("Ctrl G"), N_ ("the fault shown: lamps, symptoms"), "bench.shown", NULL, FALSE, 0 },
  { GDK_KEY_g, C | S, N_ ("Ctrl Shift G"), N_ ("known-good board, or not"), "bench.known-good", NULL, FALSE, 0 },
  { GDK_KEY_m, C, N_ ("Ctrl M"), N_ ("mark on the photo: burn, corrosion ..."), "bench.mark", NULL, FALSE, 0 },
  { GDK_KEY_i, C, N_ ("Ctrl I"), N_ ("add a photo to this job"), "bench.add-photo", NULL, FALSE, 0 },
  { 0, 0, N_ ("Alt K"), N_ ("landmarks of a photo of the job"), NULL, NULL, FALSE, 0 },
  { GDK_KEY_f, C, N_ ("Ctrl F"), N_ ("say what was the cause, end the job"), "bench.cause", NULL, FALSE, 0 },
  { GDK_KEY_h, C, N_ ("Ctrl H"), N_ ("causes found on this edition"), "bench.history", NULL, FALSE, 0 },
  { GDK_KEY_e, C, N_ ("Ctrl E"), N_ ("job from a photo alone: keep as edition"), "bench.keep-edition", NULL, FALSE, 0 },
  { GDK_KEY_t, A, N_ ("Alt T"), N_ ("what is measured at a point of your own"), "bench.kind", NULL, FALSE, 0 },
  { GDK_KEY_t, C, N_ ("Ctrl T"), N_ ("time spent"), "bench.time", NULL, FALSE, 0 },
  { GDK_KEY_y, C, N_ ("Ctrl Y"), N_ ("proving"), "bench.proving", NULL, FALSE, 12 },
  { 0, 0, N_ ("Alt G"), N_ ("proving: next that was not read again"), NULL, NULL, FALSE, 0 },
  { 0, 0, N_ ("Alt C"), N_ ("proving: what it does, checks"), NULL, NULL, FALSE, 0 },
  { 0, 0, N_ ("Alt O"), N_ ("proving: soak"), NULL, NULL, FALSE, 0 },
  { 0, 0, N_ ("Alt E"), N_ ("proving: electrical safety"), NULL, NULL, FALSE, 0 },
  { GDK_KEY_l, C, N_ ("Ctrl L"), N_ ("what is expected there"), "bench.expected", NULL, FALSE, 0 },
  { GDK_KEY_z, 0, N_ ("Z"), N_ ("whole board"), "bench.fit", NULL, TRUE, 0 },
  { GDK_KEY_0, C, N_ ("Ctrl 0"), N_ ("whole board"), "bench.fit", NULL, FALSE, 0 },
  { GDK_KEY_plus, C, N_ ("Ctrl +"), N_ ("photo larger"), "bench.larger", NULL, FALSE, 0 },
  { GDK_KEY_plus, C | S, NULL, NULL, "bench.larger", NULL, FALSE, 0 },
  { GDK_KEY_equal, C, NULL, NULL, "bench.larger", NULL, FALSE, 0 },
  { GDK_KEY_minus, C, N_ ("Ctrl −"), N_ ("photo smaller"), "bench.smaller", NULL, FALSE, 0 },
  { GDK_KEY_Left, A, N_ ("Alt ← → ↑ ↓"), N_ ("move the photo"), "bench.pan-left", NULL, FALSE, 0 },
  { GDK_KEY_Right, A, NULL, NULL, "bench.pan-right", NULL, FALSE, 0 },
  { GDK_KEY_Up, A, NULL, NULL, "bench.pan-up", NULL, FALSE, 0 },
  { GDK_KEY_Down, A, NULL, NULL, "bench.pan-down", NULL, FALSE, 0 },
  { GDK_KEY_Escape, 0, N_ ("Esc"), N_ ("back, close what is open"), "bench.escape", NULL, FALSE, 0 },
  { GDK_KEY_1, C, N_ ("Ctrl 1"), N_ ("Bench"), "win.place", "bench", FALSE, 0 },
  { GDK_KEY_2, C, N_ ("Ctrl 2"), N_ ("Boards"), "win.place", "boards", FALSE, 0 },
  { GDK_KEY_3, C, N_ ("Ctrl 3"), N_ ("Jobs"), "win.place", "jobs", FALSE, 0 },
  { GDK_KEY_4, C, N_ ("Ctrl 4"), N_ ("Practice"), "win.place", "practice", FALSE, 0 },
  { GDK_KEY_n, C, N_ ("Ctrl N"), N_ ("new job"), "win.new-job", NULL, FALSE, 0 },
  { GDK_KEY_p, C, N_ ("Ctrl P"), N_ ("report: PDF or on paper"), "win.report", NULL, FALSE, 0 },
  { GDK_KEY_l, C | S, N_ ("Ctrl Shift L"), N_ ("label of the job"), "bench.label", NULL, FALSE, 0 },
  { GDK_KEY_comma, C, N_ ("Ctrl ,"), N_ ("preferences"), "win.preferences", NULL, FALSE, 0 },
  { GDK_KEY_F1, 0, N_ ("F1"), N_ ("this list of keys"), "win.keys", NULL, FALSE, 0 },
};

const BlKey *
bl_keys_get (guint *n_keys)
{
  *n_keys = G_N_ELEMENTS (keys);
  return keys;
}

const BlKey *
bl_keys_find (guint keyval, GdkModifierType state, gboolean typing, gboolean in_entry)
{
  GdkModifierType modifiers = state & (C | S | A);
  guint lower = gdk_keyval_to_lower (keyval);

  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      const BlKey *key = &keys[i];
      if (key->action == NULL || key->keyval != lower || key->modifiers != modifiers)
        continue;
      /* Outside an entry the photo and the lists have letters and arrows of their own. */
      if (key->when_empty && typing)
        continue;
      if (!in_entry && modifiers == 0 && (lower == GDK_KEY_Up || lower == GDK_KEY_Down))
        continue;
      return key;
    }
  return NULL;
}

static void
cautions_pressed (GtkButton *button, GtkWindow *parent)
{
  bl_cautions_show (parent);
}

static gboolean
cautions_key (GtkWidget *window, GVariant *arguments, gpointer parent)
{
  bl_cautions_show (parent);
  return TRUE;
}

/* The other page of the help. */
static GtkWidget *
cautions_line (GtkWindow *parent)
{
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *button = gtk_button_new_with_label (_ ("Cautions"));

  gtk_widget_set_margin_start (line, 24);
  gtk_widget_set_margin_top (line, 8);
  gtk_widget_set_margin_bottom (line, 12);
  gtk_widget_add_css_class (button, "plain");
  g_signal_connect_object (button, "clicked", G_CALLBACK (cautions_pressed), parent, 0);
  gtk_box_append (GTK_BOX (line), bl_key_cap ("C"));
  gtk_box_append (GTK_BOX (line), button);
  gtk_box_append (GTK_BOX (line), bl_label (_ ("Local codes and licensed practice come first."), "muted", 0));
  return line;
}

/* Rows of each of two columns. */
static int
rows_of_column (void)
{
  int n = 0;

  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    n += keys[i].cap != NULL && keys[i].label != NULL;
  return (n + 1) / 2;
}

void
bl_keys_show (GtkWindow *parent, gboolean practice)
{
  GtkWidget *window = gtk_window_new ();
  GtkWidget *scrolled = gtk_scrolled_window_new ();
  GtkWidget *grid = gtk_grid_new (), *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
  GtkEventController *controller = gtk_shortcut_controller_new ();
  int row = 0, column = 0;

  gtk_grid_set_row_spacing (GTK_GRID (grid), 3);
  gtk_grid_set_column_spacing (GTK_GRID (grid), 12);
  gtk_widget_set_margin_start (grid, 24);
  gtk_widget_set_margin_end (grid, 24);
  gtk_widget_set_margin_top (grid, 16);
  gtk_widget_set_margin_bottom (grid, 16);
  gtk_grid_attach (GTK_GRID (grid), bl_label (_ ("Bench, and everywhere"), "heading", 0), 0, row++, 2, 1);
  if (practice)
    bl_practice_keys_list (GTK_GRID (grid), 4);
  else
    bl_editor_keys_list (GTK_GRID (grid), 4);
  for (guint i = 0; i < G_N_ELEMENTS (keys); i++)
    {
      if (keys[i].cap == NULL || keys[i].label == NULL)
        continue;
      if (row > rows_of_column () && column == 0)
        {
          column = 2;
          row = 1;
        }
      GtkWidget *cap = bl_key_cap (_ (keys[i].cap));
      gtk_widget_set_halign (cap, GTK_ALIGN_END);
      gtk_grid_attach (GTK_GRID (grid), cap, column, row, 1, 1);
      gtk_grid_attach (GTK_GRID (grid), bl_label (_ (keys[i].label), NULL, 0), column + 1, row++, 1, 1);
    }
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), grid);
  gtk_window_set_title (GTK_WINDOW (window), _ ("Keys"));
  gtk_widget_set_vexpand (scrolled, TRUE);
  gtk_box_append (GTK_BOX (box), scrolled);
  gtk_box_append (GTK_BOX (box), cautions_line (parent));
  gtk_window_set_child (GTK_WINDOW (window), box);
  gtk_window_set_default_size (GTK_WINDOW (window), 1120, 800);
  gtk_window_set_transient_for (GTK_WINDOW (window), parent);
  gtk_window_set_destroy_with_parent (GTK_WINDOW (window), TRUE);
  gtk_shortcut_controller_add_shortcut (
    GTK_SHORTCUT_CONTROLLER (controller),
    gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_Escape, 0), gtk_named_action_new ("window.close")));
  gtk_shortcut_controller_add_shortcut (
    GTK_SHORTCUT_CONTROLLER (controller),
    gtk_shortcut_new (gtk_keyval_trigger_new (GDK_KEY_c, 0), gtk_callback_action_new (cautions_key, parent, NULL)));
  gtk_widget_add_controller (window, controller);
  bl_style_dress (window);
  gtk_window_present (GTK_WINDOW (window));
}
