/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The boards: the documented editions with a small photo of each, and the editor of the one opened.
 * Some hundred rows; each document is read to count what is worth a look in it, a millisecond each.
 * What a row shows is in bl-board-row.c. */
#include "config.h"

#include "bl-boards-page.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-bench.h"
#include "bl-board-row.h"
#include "bl-bundle-actions.h"
#include "bl-compare-view.h"
#include "bl-coverage-label.h"
#include "bl-document.h"
#include "bl-editor.h"
#include "bl-missing-button.h"
#include "bl-equipment-list.h"
#include "bl-import-page.h"
#include "bl-library-known-good.h"
#include "bl-missing.h"
#include "bl-next-edition-ask.h"
#include "bl-shell.h"
#include "bl-steps-bar.h"
#include "bl-style.h"

struct _BlBoardsPage
{
  GtkWidget parent_instance;

  BlLibrary *library; /* of the application */
  GtkStack *stack;
  GtkListBox *list;
  GtkLabel *empty, *count;
  GtkEditable *search;
  GtkBox *editor_place;
  GtkWidget *editor, *import_page, *steps;
  GtkBox *compare_place;
  GtkWidget *compare;
  gboolean from_editor; /* the comparison was opened from the editor and goes back there */
  GHashTable *good; /* board id -> number of known-good boards, while rows are made */
};

G_DEFINE_FINAL_TYPE (BlBoardsPage, bl_boards_page, GTK_TYPE_WIDGET)

/* --- rows --- */

/* The newest job of a board; NULL: none. Jobs come newest first. */
static const BlJob *
last_job (GPtrArray *jobs, gint64 board)
{
  for (guint i = 0; i < bl_len (jobs); i++)
    if (((BlJob *) bl_at (jobs, i))->board == board)
      return bl_at (jobs, i);
  return NULL;
}

static void
row_button (BlBoardsPage *self, GtkWidget *box, const char *words, const char *name, gint64 id, GCallback pressed)
{
  GtkWidget *button = gtk_button_new_with_label (words);
  g_autofree char *full = g_strdup_printf ("%s: %s", words, name);

  gtk_widget_add_css_class (button, "act");
  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  bl_widget_name (button, full);
  g_object_set_data_full (G_OBJECT (button), "board", g_memdup2 (&id, sizeof id), g_free);
  g_signal_connect (button, "clicked", pressed, self);
  gtk_box_append (GTK_BOX (box), button);
}

static gint64
board_of (gpointer object)
{
  const gint64 *id = g_object_get_data (object, "board");
  return id != NULL ? *id : 0;
}

static void
job_pressed (GtkButton *button, BlBoardsPage *self)
{
  bl_board_start_job (GTK_WIDGET (self), self->library, board_of (button));
}

static void
export_pressed (GtkButton *button, BlBoardsPage *self)
{
  bl_board_export (GTK_WIDGET (self), self->library, board_of (button));
}

static void next_pressed (GtkButton *button, BlBoardsPage *self);
static void compare_pressed (GtkButton *button, BlBoardsPage *self);
static void delete_pressed (GtkButton *button, BlBoardsPage *self);
static void good_pressed (GtkButton *button, BlBoardsPage *self);
static void missing_pressed (GtkButton *button, BlBoardsPage *self);

/* "causes found: K1 4, C12 2, of 7 repairs"; NULL: none was confirmed. */
static char *
found_words (BlBoardsPage *self, gint64 board)
{
  g_autoptr (GPtrArray) causes = bl_library_causes (self->library, board, 0, NULL);
  g_autofree char *words = causes != NULL ? bl_found_words (causes, 6) : NULL;

  return words != NULL ? g_strdup_printf (_ ("causes found: %s"), words) : NULL;
}

/* How many known-good boards there are, to be pressed; nothing where there is none. */
static void
add_good (BlBoardsPage *self, GtkWidget *line, gint64 board, const char *title)
{
  guint n = GPOINTER_TO_UINT (g_hash_table_lookup (self->good, &board));
  g_autofree char *words = g_strdup_printf (ngettext ("%u known-good board", "%u known-good boards", n), n);

  if (n > 0)
    row_button (self, line, words, title, board, G_CALLBACK (good_pressed));
}

static void
add_missing (BlBoardsPage *self, GtkWidget *line, gint64 id, const BlBoard *board, const char *title)
{
  GtkWidget *button = bl_missing_button_new (self->library, id, board, title);

  g_object_set_data_full (G_OBJECT (button), "board", g_memdup2 (&id, sizeof id), g_free);
  g_signal_connect (button, "clicked", G_CALLBACK (missing_pressed), self);
  gtk_box_append (GTK_BOX (line), button);
}

static GtkWidget *
words_column (BlBoardsPage *self, const BlBoardRow *entry, const BlBoard *board, const char *title, const char *maker,
              const char *found)
{
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2), *head = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);
  GtkWidget *line = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8), *past = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);
  g_autofree char *counts = bl_board_row_counts (entry), *sections = bl_board_row_sections (board);

  gtk_box_append (GTK_BOX (head), bl_label (title, "strong", 0));
  bl_board_row_label (head, maker, "muted");
  gtk_box_append (GTK_BOX (words), head);
  bl_board_row_label (words, *sections != '\0' ? sections : _ ("no section yet: readings can be compared, no stage is found"),
              NULL);
  bl_board_row_label (line, counts, "muted small");
  gtk_box_append (GTK_BOX (words), line);
  gtk_box_append (GTK_BOX (words), bl_coverage_label_new (board, "muted small"));
  if (board != NULL)
    add_missing (self, line, entry->id, board, title);
  if (found != NULL)
    bl_board_row_label (past, found, "small");
  add_good (self, past, entry->id, title);
  gtk_box_append (GTK_BOX (words), past);
  gtk_widget_set_valign (words, GTK_ALIGN_CENTER);
  gtk_widget_set_hexpand (words, TRUE);
  return words;
}

/* Two lines of what can be done with a board. */
static GtkWidget *
acts_of (BlBoardsPage *self, gint64 board, const char *title)
{
  GtkWidget *acts = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  GtkWidget *lines[2] = { gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16), gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16) };

  row_button (self, lines[0], _ ("start a job"), title, board, G_CALLBACK (job_pressed));
  row_button (self, lines[0], _ ("export…"), title, board, G_CALLBACK (export_pressed));
  row_button (self, lines[0], _ ("delete"), title, board, G_CALLBACK (delete_pressed));
  row_button (self, lines[1], _ ("next edition…"), title, board, G_CALLBACK (next_pressed));
  row_button (self, lines[1], _ ("compare"), title, board, G_CALLBACK (compare_pressed));
  for (guint i = 0; i < 2; i++)
    gtk_box_append (GTK_BOX (acts), lines[i]);
  gtk_widget_set_valign (acts, GTK_ALIGN_CENTER);
  return acts;
}

static GtkWidget *
row_of (BlBoardsPage *self, const BlBoardRow *entry, const BlJob *job)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  g_autoptr (BlBoard) board = bl_library_load_board (self->library, entry->id, NULL);
  g_autofree char *title = bl_board_title (entry->board_number, entry->edition);
  g_autofree char *maker = g_strdup_printf ("%s  %s", entry->maker != NULL ? entry->maker : "",
                                            entry->model != NULL ? entry->model : "");
  g_autofree char *counts = bl_board_row_counts (entry), *found = found_words (self, entry->id);
  g_autofree char *name = g_strdup_printf ("%s, %s, %s %s", title, g_strstrip (maker), counts, found != NULL ? found : "");

  gtk_box_append (GTK_BOX (box), bl_board_row_thumbnail (self->library, entry->id, board));
  gtk_box_append (GTK_BOX (box), words_column (self, entry, board, title, maker, found));
  gtk_box_append (GTK_BOX (box), bl_board_row_job (entry, job));
  gtk_box_append (GTK_BOX (box), acts_of (self, entry->id, title));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  bl_widget_name (row, name);
  g_object_set_data_full (G_OBJECT (row), "board", g_memdup2 (&entry->id, sizeof entry->id), g_free);
  return row;
}

/* --- list --- */

static gboolean
contains (const char *text, const char *wanted)
{
  g_autofree char *folded = g_utf8_casefold (text != NULL ? text : "", -1);
  return strstr (folded, wanted) != NULL;
}

static gboolean
matches (const BlBoardRow *row, const char *text)
{
  g_autofree char *wanted = g_utf8_casefold (text, -1);

  return contains (row->maker, wanted) || contains (row->model, wanted) || contains (row->board_number, wanted)
         || contains (row->edition, wanted);
}

static void
list_changed (gpointer page)
{
  bl_boards_page_refresh (page);
}

void
bl_boards_page_refresh (BlBoardsPage *self)
{
  g_return_if_fail (BL_IS_BOARDS_PAGE (self));
  GError *error = NULL;
  g_autoptr (GPtrArray) boards = bl_library_boards (self->library, FALSE, &error);
  g_autoptr (GPtrArray) jobs = bl_library_jobs (self->library, NULL);
  guint shown = 0;

  self->good = bl_library_known_good_counts (self->library, NULL);
  if (self->good == NULL)
    self->good = g_hash_table_new (g_int64_hash, g_int64_equal);
  bl_widget_clear (GTK_WIDGET (self->list));
  if (boards == NULL)
    bl_widget_report (GTK_WIDGET (self), _ ("The boards cannot be listed"), error);
  for (guint i = 0; i < bl_len (boards); i++)
    if (matches (bl_at (boards, i), gtk_editable_get_text (self->search)))
      {
        const BlBoardRow *row = bl_at (boards, i);
        gtk_list_box_append (self->list, row_of (self, row, last_job (jobs, row->id)));
        shown++;
      }
  g_clear_pointer (&self->good, g_hash_table_unref);
  bl_equipment_list_append (self->list, self->library, gtk_editable_get_text (self->search), GTK_WIDGET (self),
                            list_changed);
  if (self->steps != NULL)
    bl_steps_bar_refresh (BL_STEPS_BAR (self->steps));
  g_autofree char *count = g_strdup_printf (_ ("%u of %u"), shown, bl_len (boards));
  gtk_label_set_label (self->count, bl_len (boards) > 0 ? count : "");
  gtk_widget_set_visible (GTK_WIDGET (self->empty), bl_len (boards) == 0);
}

static void
show_list (BlBoardsPage *self)
{
  gtk_stack_set_visible_child_name (self->stack, "list");
  bl_editor_close (BL_EDITOR (self->editor));
  bl_boards_page_refresh (self);
}

static void
open_board (gint64 board, gpointer data)
{
  BlBoardsPage *self = data;
  GError *error = NULL;

  gtk_stack_set_visible_child_name (self->stack, "editor");
  if (bl_editor_open (BL_EDITOR (self->editor), board, &error))
    return;
  gtk_stack_set_visible_child_name (self->stack, "list");
  bl_widget_report (GTK_WIDGET (self), _ ("The board was not opened"), error);
}

static void
good_pressed (GtkButton *button, BlBoardsPage *self)
{
  open_board (board_of (button), self);
  if (bl_editor_get_edition (BL_EDITOR (self->editor)) != NULL)
    bl_editor_show_good (BL_EDITOR (self->editor));
}

/* --- two editions --- */

static void
show_comparison (BlBoardsPage *self, gint64 board, gboolean look)
{
  GError *error = NULL;

  if (!bl_compare_view_open (BL_COMPARE_VIEW (self->compare), board, look, &error))
    {
      bl_widget_report (GTK_WIDGET (self), _ ("The board was not opened"), error);
      return;
    }
  self->from_editor = g_strcmp0 (gtk_stack_get_visible_child_name (self->stack), "editor") == 0;
  gtk_stack_set_visible_child_name (self->stack, "compare");
  bl_editor_close (BL_EDITOR (self->editor));
}

static void
editor_compares (BlEditor *editor, gint64 board, gboolean look, BlBoardsPage *self)
{
  show_comparison (self, board, look);
}

static void
next_made (gint64 board, gpointer data)
{
  show_comparison (data, board, TRUE);
}

static void
next_pressed (GtkButton *button, BlBoardsPage *self)
{
  bl_next_edition_ask (GTK_WIDGET (button), self->library, board_of (button), next_made, self);
}

static void
compare_pressed (GtkButton *button, BlBoardsPage *self)
{
  show_comparison (self, board_of (button), FALSE);
}

/* Back to where it was opened from; to the editor where something is to be edited. */
static void
comparison_closed (BlCompareView *compare, BlBoardsPage *self)
{
  gint64 board = bl_compare_view_get_board (compare);

  if (self->from_editor)
    open_board (board, self);
  else
    show_list (self);
  bl_compare_view_close (compare);
}

static void
comparison_edits (BlCompareView *compare, gpointer ref, BlBoardsPage *self)
{
  open_board (bl_compare_view_get_board (compare), self);
  if (bl_editor_get_edition (BL_EDITOR (self->editor)) != NULL)
    bl_editor_go_to (BL_EDITOR (self->editor), ref);
  bl_compare_view_close (compare);
}

static void
missing_pressed (GtkButton *button, BlBoardsPage *self)
{
  open_board (board_of (button), self);
  if (bl_editor_get_edition (BL_EDITOR (self->editor)) != NULL)
    bl_editor_show_checks (BL_EDITOR (self->editor));
}

static void
row_activated (GtkListBox *list, GtkListBoxRow *row, BlBoardsPage *self)
{
  if (board_of (row) != 0) /* an equipment's has none */
    open_board (board_of (row), self);
}

static void
search_changed (BlBoardsPage *self)
{
  bl_boards_page_refresh (self);
}

/* Return opens the first that matches, Down goes to the list. */
static void
search_entered (BlBoardsPage *self)
{
  GtkListBoxRow *first = gtk_list_box_get_row_at_index (self->list, 0);

  if (first != NULL)
    row_activated (self->list, first, self);
}

static gboolean
search_key (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlBoardsPage *self)
{
  GtkListBoxRow *first = gtk_list_box_get_row_at_index (self->list, 0);

  if ((keyval != GDK_KEY_Down && keyval != GDK_KEY_KP_Down) || first == NULL)
    return GDK_EVENT_PROPAGATE;
  gtk_list_box_select_row (self->list, first);
  gtk_widget_grab_focus (GTK_WIDGET (first));
  return GDK_EVENT_STOP;
}

static void
new_board (BlBoardsPage *self)
{
  bl_board_new_from_photo (GTK_WIDGET (self), self->library, open_board, self);
}

static void
imported (gint64 board, gpointer data)
{
  bl_boards_page_refresh (data);
  bl_widget_notify (data, _ ("Imported."));
}

static void
met (BlIntake *intake, const char *file, gpointer data)
{
  BlBoardsPage *self = data;

  gtk_stack_set_visible_child_name (self->stack, "import");
  bl_import_page_show (BL_IMPORT_PAGE (self->import_page), intake, file);
}

/* A merge is shown where it can be undone. */
static void
import_closed (BlImportPage *page, const char *words, gint64 board, BlBoardsPage *self)
{
  show_list (self);
  if (board != 0)
    open_board (board, self);
  if (words != NULL)
    bl_widget_notify (GTK_WIDGET (self), words);
}

static void
import_board (BlBoardsPage *self)
{
  bl_board_import (GTK_WIDGET (self), self->library, imported, met, self);
}

/* --- deleting --- */

/* One with jobs stays; otherwise it can be undone, so nothing is asked. */
static void
delete_pressed (GtkButton *button, BlBoardsPage *self)
{
  gint64 id = board_of (button);
  g_autoptr (BlBoard) board = bl_library_load_board (self->library, id, NULL);
  g_autofree char *title = board != NULL ? bl_board_title (board->board_number, board->edition) : g_strdup ("");
  g_autofree char *label = g_strdup_printf (_ ("delete %s"), title);
  g_autofree char *words = g_strdup_printf (_ ("Deleted with its photos: %s. Ctrl Z brings it back, today."), title);
  GError *error = NULL;

  if (!bl_library_begin_step (self->library, BL_STEPS_BOARDS, 0, label, &error)
      || !bl_library_end_step (self->library, bl_library_delete_board (self->library, id, &error), NULL, &error))
    bl_widget_report (GTK_WIDGET (self), _ ("The board was not deleted"), error);
  else
    bl_widget_notify (GTK_WIDGET (self), words);
  bl_boards_page_refresh (self);
}

/* --- keys --- */

static gboolean
key_pressed (GtkEventControllerKey *controller, guint keyval, guint keycode, GdkModifierType state, BlBoardsPage *self)
{
  const char *shown = gtk_stack_get_visible_child_name (self->stack);
  gboolean done = g_strcmp0 (shown, "editor") == 0    ? bl_editor_key (BL_EDITOR (self->editor), keyval, state)
                  : g_strcmp0 (shown, "compare") == 0 ? bl_compare_view_key (BL_COMPARE_VIEW (self->compare), keyval, state)
                  : g_strcmp0 (shown, "import") == 0
                    && bl_import_page_key (BL_IMPORT_PAGE (self->import_page), keyval, state);

  return done ? GDK_EVENT_STOP : GDK_EVENT_PROPAGATE;
}

/* --- object --- */

static void
bl_boards_page_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), BL_TYPE_BOARDS_PAGE);
  for (GtkWidget *child; (child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL;)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (bl_boards_page_parent_class)->dispose (object);
}

static void
bl_boards_page_class_init (BlBoardsPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_boards_page_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/benchlore/Benchlore/bl-boards-page.ui");
  gtk_widget_class_bind_template_child (widget_class, BlBoardsPage, stack);
  gtk_widget_class_bind_template_child (widget_class, BlBoardsPage, list);
  gtk_widget_class_bind_template_child (widget_class, BlBoardsPage, empty);
  gtk_widget_class_bind_template_child (widget_class, BlBoardsPage, count);
  gtk_widget_class_bind_template_child (widget_class, BlBoardsPage, search);
  gtk_widget_class_bind_template_child (widget_class, BlBoardsPage, editor_place);
  gtk_widget_class_bind_template_child (widget_class, BlBoardsPage, compare_place);
  gtk_widget_class_bind_template_callback (widget_class, row_activated);
  gtk_widget_class_bind_template_callback (widget_class, search_changed);
  gtk_widget_class_bind_template_callback (widget_class, search_entered);
  gtk_widget_class_bind_template_callback (widget_class, new_board);
  gtk_widget_class_bind_template_callback (widget_class, import_board);
}

static void
bl_boards_page_init (BlBoardsPage *self)
{
  GtkEventController *keys = gtk_event_controller_key_new ();

  gtk_widget_init_template (GTK_WIDGET (self));
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (key_pressed), self);
  gtk_widget_add_controller (GTK_WIDGET (self), keys);
  keys = gtk_event_controller_key_new ();
  gtk_event_controller_set_propagation_phase (keys, GTK_PHASE_CAPTURE);
  g_signal_connect (keys, "key-pressed", G_CALLBACK (search_key), self);
  gtk_widget_add_controller (GTK_WIDGET (self->search), keys);
  bl_type_to_find (GTK_WIDGET (self), self->search);
}

GtkWidget *
bl_boards_page_new (BlLibrary *library)
{
  BlBoardsPage *self = g_object_new (BL_TYPE_BOARDS_PAGE, NULL);

  self->library = library;
  self->editor = bl_editor_new (library);
  gtk_widget_set_vexpand (self->editor, TRUE);
  gtk_box_append (self->editor_place, self->editor);
  g_signal_connect_swapped (self->editor, "closed", G_CALLBACK (show_list), self);
  g_signal_connect (self->editor, "compare", G_CALLBACK (editor_compares), self);
  self->compare = bl_compare_view_new (library);
  gtk_widget_set_vexpand (self->compare, TRUE);
  gtk_box_append (self->compare_place, self->compare);
  g_signal_connect (self->compare, "closed", G_CALLBACK (comparison_closed), self);
  g_signal_connect (self->compare, "edit", G_CALLBACK (comparison_edits), self);
  self->import_page = bl_import_page_new ();
  gtk_stack_add_named (self->stack, self->import_page, "import");
  g_signal_connect (self->import_page, "closed", G_CALLBACK (import_closed), self);
  self->steps = bl_steps_bar_new (library, BL_STEPS_BOARDS, 0);
  gtk_box_insert_child_after (GTK_BOX (gtk_widget_get_parent (GTK_WIDGET (self->search))), self->steps,
                              gtk_widget_get_prev_sibling (GTK_WIDGET (self->search)));
  g_signal_connect_object (self->steps, "taken", G_CALLBACK (bl_boards_page_refresh), self, G_CONNECT_SWAPPED);
  bl_steps_bar_add_keys (BL_STEPS_BAR (self->steps), GTK_WIDGET (self));
  return GTK_WIDGET (self);
}
