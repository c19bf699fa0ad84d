/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows for the equipments of a library. A handful of them; each is joined once to hear what is wrong with it, some
 * milliseconds. Nothing is opened from here: an equipment is edited as a file. */
#include "config.h"

#include "bl-equipment-list.h"

#include <adwaita.h>
#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-bundle-actions.h"
#include "bl-document.h"
#include "bl-field-sheet-action.h"
#include "bl-library-steps.h"
#include "bl-missing.h"
#include "bl-shell.h"
#include "bl-style.h"

enum { THUMB_WIDTH = 68, THUMB_HEIGHT = 96 }; /* two and the line between are as wide as a board's */

/* --- what a row's buttons do --- */

typedef struct
{
  BlLibrary *library;
  gint64 id;
  char *title;
  GtkWidget *page; /* holds the list */
  void (*changed) (gpointer page);
} Act;

static void
act_free (gpointer data, GClosure *closure)
{
  Act *act = data;

  g_free (act->title);
  g_free (act);
}

/* It can be undone, so nothing is asked. */
static void
delete_pressed (GtkButton *button, const Act *act)
{
  g_autofree char *label = g_strdup_printf (_ ("delete the equipment %s"), act->title);
  g_autofree char *words
    = g_strdup_printf (_ ("The equipment “%s” is deleted; its boards stay. Ctrl Z brings it back, today."), act->title);
  GError *error = NULL;

  if (!bl_library_begin_step (act->library, BL_STEPS_BOARDS, 0, label, &error)
      || !bl_library_end_step (act->library, bl_library_delete_equipment (act->library, act->id, &error), NULL, &error))
    bl_widget_report (act->page, _ ("The equipment was not deleted"), error);
  else
    bl_widget_notify (act->page, words);
  act->changed (act->page);
}

static void
job_pressed (GtkButton *button, const Act *act)
{
  bl_equipment_start_job (act->page, act->library, act->id);
}

static void
sheet_pressed (GtkButton *button, const Act *act)
{
  bl_field_sheet_print (act->page, act->library, act->id, 0);
}

static void
export_pressed (GtkButton *button, const Act *act)
{
  bl_equipment_export (act->page, act->library, act->id);
}

/* --- rows --- */

static GtkWidget *
thumbnail (BlLibrary *library, gint64 board)
{
  GtkWidget *picture = gtk_picture_new (), *clamp = adw_clamp_new ();
  g_autoptr (GBytes) bytes = bl_library_get_board_thumbnail (library, board, NULL);
  g_autoptr (GdkTexture) texture = bytes != NULL ? gdk_texture_new_from_bytes (bytes, NULL) : NULL;

  if (texture != NULL)
    gtk_picture_set_paintable (GTK_PICTURE (picture), GDK_PAINTABLE (texture));
  gtk_picture_set_content_fit (GTK_PICTURE (picture), GTK_CONTENT_FIT_COVER);
  gtk_picture_set_can_shrink (GTK_PICTURE (picture), TRUE);
  gtk_widget_set_size_request (picture, THUMB_WIDTH, THUMB_HEIGHT);
  gtk_widget_set_overflow (picture, GTK_OVERFLOW_HIDDEN);
  gtk_widget_add_css_class (picture, "thumbnail");
  adw_clamp_set_maximum_size (ADW_CLAMP (clamp), THUMB_WIDTH);
  adw_clamp_set_tightening_threshold (ADW_CLAMP (clamp), THUMB_WIDTH);
  adw_clamp_set_child (ADW_CLAMP (clamp), picture);
  return clamp;
}

/* The first two boards, a gap apart. */
static GtkWidget *
pictures (BlLibrary *library, const BlEquipmentRow *row)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  for (guint i = 0; i < MIN (row->boards->len, 2); i++)
    gtk_box_append (GTK_BOX (box), thumbnail (library, ((BlEquipmentBoard *) bl_at (row->boards, i))->board));
  gtk_widget_set_size_request (box, 2 * THUMB_WIDTH + 8, THUMB_HEIGHT);
  return box;
}

/* "wall: BM-W350-CTL, edition C · roof: ..." */
static char *
boards_words (BlLibrary *library, const BlEquipmentRow *row)
{
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; i < row->boards->len; i++)
    {
      const BlEquipmentBoard *item = bl_at (row->boards, i);
      g_autoptr (BlBoard) board = bl_library_load_board (library, item->board, NULL);
      g_autofree char *title = board != NULL ? bl_board_title (board->board_number, board->edition) : g_strdup ("?");
      g_string_append_printf (words, "%s%s: %s", i > 0 ? " · " : "", item->role, title);
    }
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static char *
counts_words (const BlEquipmentRow *row)
{
  g_autofree char *conductors
    = g_strdup_printf (ngettext ("%u conductor", "%u conductors", row->n_conductors), row->n_conductors);
  g_autofree char *cables = g_strdup_printf (ngettext ("%u cable", "%u cables", row->n_cables), row->n_cables);
  g_autofree char *checks = g_strdup_printf (ngettext ("%u measurement between the boards",
                                                       "%u measurements between the boards", row->n_measurements),
                                             row->n_measurements);

  return g_strdup_printf ("%s · %s · %s", conductors, cables, checks);
}

/* What is wrong with it, or worth a look; NULL: nothing. *broken: it cannot be joined. */
static char *
problem_words (BlLibrary *library, gint64 id, gboolean *broken, char **list)
{
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);
  g_autoptr (GError) error = NULL;
  g_autoptr (BlBoard) joined = bl_library_join_equipment (library, id, problems, &error);
  g_autoptr (GString) lines = g_string_new (NULL);

  *broken = joined == NULL;
  for (guint i = 0; i < problems->len && i < 12; i++)
    g_string_append_printf (lines, "%s%s: %s", i > 0 ? "\n" : "", ((BlProblem *) bl_at (problems, i))->path,
                            ((BlProblem *) bl_at (problems, i))->message);
  *list = g_strdup (lines->str);
  if (*broken)
    return g_strdup_printf (_ ("its boards do not fit together any more: %s"), error->message);
  return problems->len == 0
             ? NULL
             : g_strdup_printf (ngettext ("%u thing worth a look", "%u things worth a look", problems->len), problems->len);
}

static GtkWidget *
line (GtkWidget *box, const char *words, const char *css)
{
  GtkWidget *label = bl_label (words, css, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (label, words);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

static void
add_button (GtkWidget *box, const char *words, GCallback pressed, const Act *act)
{
  GtkWidget *button = gtk_button_new_with_label (words);
  g_autofree char *full = g_strdup_printf ("%s: %s", words, act->title);
  Act *own = g_memdup2 (act, sizeof *act);

  own->title = g_strdup (act->title);
  gtk_widget_add_css_class (button, "act");
  gtk_widget_set_valign (button, GTK_ALIGN_CENTER);
  bl_widget_name (button, full);
  g_signal_connect_data (button, "clicked", pressed, own, act_free, 0);
  gtk_box_append (GTK_BOX (box), button);
}

static GtkWidget *
row_new (BlLibrary *library, const BlEquipmentRow *row, const char *boards, const Act *act)
{
  GtkWidget *item = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  gboolean broken = FALSE;
  g_autofree char *counts = counts_words (row), *list = NULL, *problems = problem_words (library, row->id, &broken, &list);
  g_autofree char *name = g_strdup_printf ("%s, %s, %s, %s", row->title != NULL ? row->title : "", boards, counts,
                                           problems != NULL ? problems : "");

  line (words, row->title != NULL && *row->title != '\0' ? row->title : _ ("Equipment without a title"), "strong");
  line (words, boards, NULL);
  line (words, counts, "muted small");
  if (problems != NULL)
    gtk_widget_set_tooltip_text (line (words, problems, broken ? "danger small" : "muted small"), list);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_widget_set_valign (words, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (box), pictures (library, row));
  gtk_box_append (GTK_BOX (box), words);
  if (!broken)
    add_button (box, _ ("start a job"), G_CALLBACK (job_pressed), act);
  if (!broken && row->n_measurements > 0)
    add_button (box, _ ("field sheet…"), G_CALLBACK (sheet_pressed), act);
  add_button (box, _ ("export…"), G_CALLBACK (export_pressed), act);
  add_button (box, _ ("delete"), G_CALLBACK (delete_pressed), act);
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (item), box);
  gtk_list_box_row_set_activatable (GTK_LIST_BOX_ROW (item), FALSE);
  bl_widget_name (item, name);
  return item;
}

static GtkWidget *
heading_new (void)
{
  GtkWidget *item = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12);

  gtk_box_append (GTK_BOX (box), bl_label (_ ("Equipment"), "heading", 0));
  gtk_box_append (GTK_BOX (box), bl_label (_ ("boards joined by conductors, for faults that lie between them"), "muted small", 0));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (item), box);
  gtk_list_box_row_set_activatable (GTK_LIST_BOX_ROW (item), FALSE);
  gtk_list_box_row_set_selectable (GTK_LIST_BOX_ROW (item), FALSE);
  gtk_widget_set_focusable (item, FALSE);
  gtk_widget_set_margin_top (box, 12);
  return item;
}

static gboolean
contains (const char *text, const char *wanted)
{
  g_autofree char *folded = g_utf8_casefold (text != NULL ? text : "", -1), *part = g_utf8_casefold (wanted, -1);

  return strstr (folded, part) != NULL;
}

guint
bl_equipment_list_append (GtkListBox *list, BlLibrary *library, const char *text, GtkWidget *page,
                          void (*changed) (gpointer page))
{
  g_return_val_if_fail (GTK_IS_LIST_BOX (list) && library != NULL && text != NULL, 0);
  g_return_val_if_fail (GTK_IS_WIDGET (page) && changed != NULL, 0);
  g_autoptr (GPtrArray) rows = bl_library_equipments (library, NULL);
  guint n = 0;

  for (guint i = 0; i < bl_len (rows); i++)
    {
      const BlEquipmentRow *row = bl_at (rows, i);
      g_autofree char *boards = boards_words (library, row), *title = g_strdup (row->title != NULL ? row->title : "");
      const Act act = { library, row->id, title, page, changed };
      if (!contains (title, text) && !contains (boards, text))
        continue;
      if (n++ == 0)
        gtk_list_box_append (list, heading_new ());
      gtk_list_box_append (list, row_new (library, row, boards, &act));
    }
  return n;
}
