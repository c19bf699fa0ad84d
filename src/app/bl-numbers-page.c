/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The numbers: editions at the left, a period above, and beside each other what the jobs came to and what failed. Counted
 * anew whenever something else is asked for, which takes some hundredths of a second. Every figure says what it counts; a
 * chart is only drawn where there are jobs enough for one. */
#include "config.h"

#include "bl-numbers-page.h"

#include <adwaita.h>
#include <glib/gi18n-lib.h>

#include "bl-months-chart.h"
#include "bl-numbers-parts.h"
#include "bl-numbers-words.h"
#include "bl-shell.h"
#include "bl-style.h"

/* Months of a period, by its key; 0: all. */
static const int periods[] = { 0, 3, 6, 12, 24 };

struct _BlNumbersPage
{
  GtkWidget parent_instance;

  BlLibrary *library; /* of the application */
  GtkWidget *box, *editions, *apart, *scrolled, *periods[G_N_ELEMENTS (periods)], *lines, *why, *stock, *columns;
  GtkWidget *months, *causes, *parts, *causes_head, *parts_head;
  GPtrArray *rows;    /* BlNumbersPart: the editions in the list, after the first row, which is all */
  BlNumbers *numbers; /* NULL: they could not be counted */
  BlNumbersAsk ask;
  gboolean filling;
  GtkFileChooserNative *dialog;
};

enum { LEFT, N_SIGNALS };
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlNumbersPage, bl_numbers_page, GTK_TYPE_WIDGET)

/* --- showing --- */

static void
show_lines (BlNumbersPage *self)
{
  g_autoptr (GPtrArray) lines = bl_numbers_lines (self->numbers);
  GtkGrid *grid = GTK_GRID (self->lines);

  for (GtkWidget *child; (child = gtk_widget_get_first_child (self->lines)) != NULL;)
    gtk_grid_remove (grid, child);
  for (guint i = 0; i < lines->len; i++)
    {
      const BlNumbersLine *line = bl_at (lines, i);
      GtkWidget *title = bl_label (line->title, "strong", 0), *value = bl_label (line->value, "strong figures", 0);
      GtkWidget *meaning = bl_label (line->meaning, "muted small", 0), *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 0);
      gtk_widget_set_valign (title, GTK_ALIGN_START);
      gtk_label_set_wrap (GTK_LABEL (value), TRUE);
      gtk_label_set_wrap (GTK_LABEL (meaning), TRUE);
      gtk_label_set_max_width_chars (GTK_LABEL (meaning), 40);
      gtk_box_append (GTK_BOX (words), value);
      gtk_box_append (GTK_BOX (words), meaning);
      gtk_widget_set_hexpand (words, TRUE);
      gtk_grid_attach (grid, title, 0, (int) i, 1, 1);
      gtk_grid_attach (grid, words, 1, (int) i, 1, 1);
    }
}

static void
show_numbers (BlNumbersPage *self)
{
  GError *error = NULL;

  g_clear_pointer (&self->numbers, bl_numbers_free);
  self->numbers = bl_library_numbers (self->library, &self->ask, &error);
  if (self->numbers == NULL)
    {
      bl_widget_report (GTK_WIDGET (self), _ ("The numbers cannot be counted"), error);
      return;
    }
  g_autofree char *why = bl_numbers_no_chart_words (self->numbers), *stock = bl_numbers_stock_words (self->numbers);
  guint n = self->numbers->with_cause;
  g_autofree char *causes = n == 0 ? g_strdup (_ ("Confirmed causes"))
                                   : g_strdup_printf (ngettext ("Confirmed causes, of %u job", "Confirmed causes, of %u jobs", n), n);
  show_lines (self);
  gtk_label_set_label (GTK_LABEL (self->why), why != NULL ? why : "");
  gtk_widget_set_visible (self->why, why != NULL);
  gtk_label_set_label (GTK_LABEL (self->stock), stock);
  gtk_widget_set_visible (self->stock, self->numbers->parts->len > 0);
  gtk_widget_set_visible (self->months, !bl_numbers_nothing (self->numbers));
  gtk_widget_set_visible (self->columns, !bl_numbers_nothing (self->numbers));
  gtk_label_set_label (GTK_LABEL (self->causes_head), causes);
  bl_months_chart_show (BL_MONTHS_CHART (self->months), self->numbers);
  bl_numbers_fill_causes (GTK_GRID (self->causes), self->numbers);
  bl_numbers_fill_parts (GTK_GRID (self->parts), self->numbers);
}

static void
add_edition (BlNumbersPage *self, const char *name, guint n)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  g_autofree char *count = g_strdup_printf ("%u", n);
  g_autofree char *words = g_strdup_printf (ngettext ("%s, %u job", "%s, %u jobs", n), name, n);
  GtkWidget *label = bl_label (name, NULL, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_MIDDLE);
  gtk_widget_set_hexpand (label, TRUE);
  gtk_box_append (GTK_BOX (box), label);
  gtk_box_append (GTK_BOX (box), bl_label (count, "muted figures", 1));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_widget_set_tooltip_text (row, words);
  bl_widget_name (row, words);
  gtk_list_box_append (GTK_LIST_BOX (self->editions), row);
}

void
bl_numbers_page_refresh (BlNumbersPage *self)
{
  g_return_if_fail (BL_IS_NUMBERS_PAGE (self));
  GError *error = NULL;
  GPtrArray *rows = bl_library_numbers_editions (self->library, &error);
  static const BlNumbersAsk everything = BL_NUMBERS_ASK_INIT;
  g_autoptr (BlNumbers) all = rows != NULL ? bl_library_numbers (self->library, &everything, &error) : NULL;
  guint sum = 0;
  int selected = 0;

  if (all == NULL)
    {
      g_clear_pointer (&rows, g_ptr_array_unref);
      bl_widget_report (GTK_WIDGET (self), _ ("The numbers cannot be counted"), error);
      return;
    }
  g_clear_pointer (&self->rows, g_ptr_array_unref);
  self->rows = rows;
  for (guint i = 0; i < rows->len; i++)
    {
      const BlNumbersPart *edition = bl_at (rows, i);
      sum += edition->n;
      if (edition->board == self->ask.board)
        selected = (int) i + 1;
    }
  self->filling = TRUE;
  bl_widget_clear (self->editions);
  add_edition (self, _ ("all editions"), all->jobs);
  gtk_widget_set_visible (self->apart, sum != all->jobs);
  for (guint i = 0; i < rows->len; i++)
    add_edition (self, ((BlNumbersPart *) bl_at (rows, i))->board_name, ((BlNumbersPart *) bl_at (rows, i))->n);
  gtk_list_box_select_row (GTK_LIST_BOX (self->editions),
                           gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->editions), selected));
  self->filling = FALSE;
  if (selected == 0)
    self->ask.board = 0;
  show_numbers (self);
}

const BlNumbers *
bl_numbers_page_get_numbers (BlNumbersPage *self)
{
  g_return_val_if_fail (BL_IS_NUMBERS_PAGE (self), NULL);
  return self->numbers;
}

/* --- asking --- */

static void
edition_selected (GtkListBox *list, GtkListBoxRow *row, BlNumbersPage *self)
{
  int place = row != NULL ? gtk_list_box_row_get_index (row) : 0;

  if (self->filling)
    return;
  self->ask.board = place > 0 ? ((BlNumbersPart *) bl_at (self->rows, (guint) place - 1))->board : 0;
  show_numbers (self);
}

static void
step_edition (BlNumbersPage *self, int step)
{
  GtkListBoxRow *row = gtk_list_box_get_selected_row (GTK_LIST_BOX (self->editions));
  int place = (row != NULL ? gtk_list_box_row_get_index (row) : 0) + step;
  GtkListBoxRow *next = gtk_list_box_get_row_at_index (GTK_LIST_BOX (self->editions), place);

  if (next != NULL)
    gtk_list_box_select_row (GTK_LIST_BOX (self->editions), next);
}

static void
period_toggled (GtkToggleButton *button, BlNumbersPage *self)
{
  int months = GPOINTER_TO_INT (g_object_get_data (G_OBJECT (button), "months"));
  g_autoptr (GDateTime) now = g_date_time_new_now_local (), then = g_date_time_add_months (now, -months);

  if (!gtk_toggle_button_get_active (button))
    return;
  self->ask.from = months > 0 ? g_date_time_to_unix (then) * G_USEC_PER_SEC : 0;
  show_numbers (self);
}

/* --- writing --- */

gboolean
bl_numbers_page_write (BlNumbersPage *self, const char *path, GError **error)
{
  g_return_val_if_fail (BL_IS_NUMBERS_PAGE (self) && path != NULL, FALSE);
  g_autofree char *text = bl_numbers_csv (self->library, &self->ask, error);

  return text != NULL && g_file_set_contents (path, text, -1, error);
}

static void
responded (GtkNativeDialog *dialog, int response, BlNumbersPage *self)
{
  g_autoptr (GFile) file = gtk_file_chooser_get_file (GTK_FILE_CHOOSER (dialog));
  g_autofree char *path = file != NULL ? g_file_get_path (file) : NULL, *full = NULL;
  GError *error = NULL;

  if (response == GTK_RESPONSE_ACCEPT && path != NULL)
    {
      full = g_str_has_suffix (path, ".csv") ? g_steal_pointer (&path) : g_strconcat (path, ".csv", NULL);
      if (!bl_numbers_page_write (self, full, &error))
        bl_widget_report (GTK_WIDGET (self), _ ("The numbers were not written"), error);
      else if (bl_shell_of (GTK_WIDGET (self)) != NULL)
        {
          g_autofree char *name = g_filename_display_basename (full);
          g_autofree char *words = g_strdup_printf (_ ("Numbers written as %s"), name);
          bl_shell_notify_file (bl_shell_of (GTK_WIDGET (self)), words, full);
        }
    }
  g_clear_object (&self->dialog);
}

static void
ask_where (BlNumbersPage *self)
{
  GtkRoot *root = gtk_widget_get_root (GTK_WIDGET (self));
  g_autoptr (GtkFileFilter) filter = gtk_file_filter_new ();

  if (self->dialog != NULL)
    return;
  gtk_file_filter_set_name (filter, _ ("Comma-separated values"));
  gtk_file_filter_add_pattern (filter, "*.csv");
  self->dialog = gtk_file_chooser_native_new (_ ("Numbers as a table"), GTK_IS_WINDOW (root) ? GTK_WINDOW (root) : NULL,
                                              GTK_FILE_CHOOSER_ACTION_SAVE, NULL, NULL);
  gtk_native_dialog_set_modal (GTK_NATIVE_DIALOG (self->dialog), TRUE);
  gtk_file_chooser_add_filter (GTK_FILE_CHOOSER (self->dialog), filter);
  gtk_file_chooser_set_current_name (GTK_FILE_CHOOSER (self->dialog), _ ("numbers.csv"));
  g_signal_connect (self->dialog, "response", G_CALLBACK (responded), self);
  gtk_native_dialog_show (GTK_NATIVE_DIALOG (self->dialog));
}

/* --- keys --- */

/* The arrows take an edition, so the figures have keys of their own. */
static void
scroll (BlNumbersPage *self, int pages)
{
  GtkAdjustment *at = gtk_scrolled_window_get_vadjustment (GTK_SCROLLED_WINDOW (self->scrolled));

  gtk_adjustment_set_value (at, gtk_adjustment_get_value (at) + pages * 0.9 * gtk_adjustment_get_page_size (at));
}

static void
leave (BlNumbersPage *self)
{
  g_signal_emit (self, signals[LEFT], 0);
}

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlNumbersPage *self)
{
  GdkModifierType modifiers = state & (GDK_CONTROL_MASK | GDK_SHIFT_MASK | GDK_ALT_MASK);

  if (modifiers == GDK_ALT_MASK && keyval >= GDK_KEY_0 && keyval < GDK_KEY_0 + G_N_ELEMENTS (periods))
    gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->periods[keyval - GDK_KEY_0]), TRUE);
  else if (modifiers == GDK_ALT_MASK && gdk_keyval_to_lower (keyval) == GDK_KEY_e)
    ask_where (self);
  else if (modifiers == 0 && (keyval == GDK_KEY_Escape
           || keyval == GDK_KEY_BackSpace))
    leave (self);
  else if (modifiers == GDK_ALT_MASK && gdk_keyval_to_lower (keyval) == GDK_KEY_n)
    leave (self);
  else if (modifiers == 0 && (keyval == GDK_KEY_Up || keyval == GDK_KEY_Down))
    step_edition (self, keyval == GDK_KEY_Up ? -1 : 1);
  else if (modifiers == 0 && (keyval == GDK_KEY_Page_Up || keyval == GDK_KEY_Page_Down))
    scroll (self, keyval == GDK_KEY_Page_Up ? -1 : 1);
  else
    return GDK_EVENT_PROPAGATE;
  return GDK_EVENT_STOP;
}

/* --- layout --- */

static GtkWidget *
head_row (BlNumbersPage *self)
{
  GtkWidget *row = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *segments = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 0);
  GtkWidget *write = bl_act_button ("plain", _ ("Write as a table"), _ ("Alt E"), FALSE);
  GtkWidget *back = bl_act_button ("plain", _ ("Jobs"), _ ("Esc"), FALSE);
  GtkWidget *title = bl_label (_ ("Numbers"), "page-title", 0);

  for (guint i = 0; i < G_N_ELEMENTS (periods); i++)
    {
      GtkWidget *button = gtk_toggle_button_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
      g_autofree char *words = periods[i] == 0 ? g_strdup (_ ("all time"))
                                               : g_strdup_printf (_ ("%d months"), periods[i]);
      g_autofree char *key = g_strdup_printf ("%u", i), *tip = g_strdup_printf (_ ("Alt %u"), i);
      gtk_box_append (GTK_BOX (box), bl_label (words, NULL, 0));
      gtk_box_append (GTK_BOX (box), bl_key_cap (key));
      gtk_button_set_child (GTK_BUTTON (button), box);
      gtk_widget_add_css_class (button, "segment");
      gtk_widget_set_tooltip_text (button, tip);
      gtk_widget_set_focus_on_click (button, FALSE);
      bl_widget_name (button, words);
      g_object_set_data (G_OBJECT (button), "months", GINT_TO_POINTER (periods[i]));
      if (i > 0)
        gtk_toggle_button_set_group (GTK_TOGGLE_BUTTON (button), GTK_TOGGLE_BUTTON (self->periods[0]));
      self->periods[i] = button;
      gtk_box_append (GTK_BOX (segments), button);
    }
  gtk_toggle_button_set_active (GTK_TOGGLE_BUTTON (self->periods[0]), TRUE);
  for (guint i = 0; i < G_N_ELEMENTS (periods); i++)
    g_signal_connect (self->periods[i], "toggled", G_CALLBACK (period_toggled), self);
  gtk_widget_set_valign (segments, GTK_ALIGN_CENTER);
  gtk_widget_set_hexpand (title, TRUE);
  g_signal_connect_object (write, "clicked", G_CALLBACK (ask_where), self, G_CONNECT_SWAPPED);
  g_signal_connect_object (back, "clicked", G_CALLBACK (leave), self, G_CONNECT_SWAPPED);
  gtk_box_append (GTK_BOX (row), title);
  gtk_box_append (GTK_BOX (row), segments);
  gtk_box_append (GTK_BOX (row), write);
  gtk_box_append (GTK_BOX (row), back);
  return row;
}

static GtkWidget *
wrapped (const char *css)
{
  GtkWidget *label = bl_label ("", css, 0);

  gtk_label_set_wrap (GTK_LABEL (label), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 60);
  return label;
}

static GtkWidget *
new_grid (int column_gap, int row_gap)
{
  GtkWidget *grid = gtk_grid_new ();

  gtk_grid_set_column_spacing (GTK_GRID (grid), column_gap);
  gtk_grid_set_row_spacing (GTK_GRID (grid), row_gap);
  return grid;
}

/* What failed, and what to keep. */
static GtkWidget *
right_column (BlNumbersPage *self)
{
  GtkWidget *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);

  self->causes_head = bl_label ("", "heading", 0);
  self->causes = new_grid (12, 3);
  self->parts_head = bl_label (_ ("Parts"), "heading", 0);
  self->parts = new_grid (16, 3);
  self->stock = wrapped ("muted small");
  gtk_widget_set_margin_top (self->parts_head, 12);
  gtk_box_append (GTK_BOX (column), self->causes_head);
  gtk_box_append (GTK_BOX (column), self->causes);
  gtk_box_append (GTK_BOX (column), self->parts_head);
  gtk_box_append (GTK_BOX (column), self->parts);
  gtk_box_append (GTK_BOX (column), self->stock);
  gtk_widget_set_hexpand (column, TRUE);
  return column;
}

static GtkWidget *
figures (BlNumbersPage *self)
{
  GtkWidget *all = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12);
  GtkWidget *left = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);

  self->columns = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 32);
  self->why = wrapped ("remark");
  self->lines = new_grid (16, 8);
  self->months = bl_months_chart_new ();
  gtk_widget_set_size_request (left, 420, -1);
  gtk_box_append (GTK_BOX (left), self->lines);
  gtk_box_append (GTK_BOX (self->columns), left);
  gtk_box_append (GTK_BOX (self->columns), right_column (self));
  gtk_box_append (GTK_BOX (all), self->why);
  gtk_box_append (GTK_BOX (all), self->months);
  gtk_box_append (GTK_BOX (all), self->columns);
  self->scrolled = gtk_scrolled_window_new ();
  gtk_widget_set_margin_end (all, 16); /* the scroll bar is not to lie over figures */
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (self->scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (self->scrolled), all);
  gtk_widget_set_hexpand (self->scrolled, TRUE);
  gtk_widget_set_vexpand (self->scrolled, TRUE);
  return self->scrolled;
}

static GtkWidget *
edition_list (BlNumbersPage *self)
{
  GtkWidget *scrolled = gtk_scrolled_window_new (), *column = gtk_box_new (GTK_ORIENTATION_VERTICAL, 8);

  self->editions = gtk_list_box_new ();
  gtk_widget_add_css_class (self->editions, "big-list");
  bl_widget_name (self->editions, _ ("Editions"));
  g_signal_connect (self->editions, "row-selected", G_CALLBACK (edition_selected), self);
  gtk_scrolled_window_set_policy (GTK_SCROLLED_WINDOW (scrolled), GTK_POLICY_NEVER, GTK_POLICY_AUTOMATIC);
  gtk_scrolled_window_set_child (GTK_SCROLLED_WINDOW (scrolled), self->editions);
  gtk_scrolled_window_set_propagate_natural_height (GTK_SCROLLED_WINDOW (scrolled), TRUE);
  self->apart = bl_label (_ ("“all editions” counts jobs on equipment too; a job that is part of another is counted once."),
                          "muted small", 0);
  gtk_label_set_wrap (GTK_LABEL (self->apart), TRUE);
  gtk_label_set_max_width_chars (GTK_LABEL (self->apart), 30);
  gtk_box_append (GTK_BOX (column), scrolled);
  gtk_box_append (GTK_BOX (column), self->apart);
  gtk_widget_set_size_request (column, 250, -1);
  return column;
}

/* --- object --- */

static void
bl_numbers_page_dispose (GObject *object)
{
  BlNumbersPage *self = BL_NUMBERS_PAGE (object);

  if (self->dialog != NULL)
    gtk_native_dialog_destroy (GTK_NATIVE_DIALOG (self->dialog));
  g_clear_object (&self->dialog);
  g_clear_pointer (&self->box, gtk_widget_unparent);
  g_clear_pointer (&self->rows, g_ptr_array_unref);
  g_clear_pointer (&self->numbers, bl_numbers_free);
  G_OBJECT_CLASS (bl_numbers_page_parent_class)->dispose (object);
}

static void
bl_numbers_page_class_init (BlNumbersPageClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_numbers_page_dispose;
  signals[LEFT] = g_signal_new ("left", BL_TYPE_NUMBERS_PAGE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  gtk_widget_class_set_layout_manager_type (GTK_WIDGET_CLASS (klass), GTK_TYPE_BIN_LAYOUT);
}

static void
bl_numbers_page_init (BlNumbersPage *self)
{
  static const BlNumbersAsk ask = BL_NUMBERS_ASK_INIT;
  GtkEventController *keys = gtk_event_controller_key_new ();
  GtkWidget *clamp = adw_clamp_new (), *body = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 24);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 12);

  self->ask = ask;
  gtk_widget_set_margin_start (box, 24);
  gtk_widget_set_margin_end (box, 24);
  gtk_widget_set_margin_top (box, 16);
  gtk_widget_set_margin_bottom (box, 12);
  gtk_box_append (GTK_BOX (box), head_row (self));
  gtk_box_append (GTK_BOX (body), edition_list (self));
  gtk_box_append (GTK_BOX (body), figures (self));
  gtk_box_append (GTK_BOX (box), body);
  adw_clamp_set_maximum_size (ADW_CLAMP (clamp), 1500);
  adw_clamp_set_tightening_threshold (ADW_CLAMP (clamp), 1500);
  adw_clamp_set_child (ADW_CLAMP (clamp), box);
  self->box = clamp;
  gtk_widget_set_parent (clamp, GTK_WIDGET (self));
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  gtk_widget_set_focusable (GTK_WIDGET (self), TRUE);
}

GtkWidget *
bl_numbers_page_new (BlLibrary *library)
{
  g_return_val_if_fail (library != NULL, NULL);
  BlNumbersPage *self = g_object_new (BL_TYPE_NUMBERS_PAGE, NULL);

  self->library = library;
  return GTK_WIDGET (self);
}
