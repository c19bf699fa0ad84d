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
#include "bl-library-steps.h"
#include "bl-missing.h"
#include "bl-style.h"
#include "bl-window.h"

enum { THUMB_WIDTH = 68, THUMB_HEIGHT = 96 }; /* two and the line between are as wide as a board's */

/* --- deleting and bringing back --- */

typedef struct
{
  BlLibrary *library;
  void (*changed) (gpointer data);
  gpointer data;
  gint64 deleted; /* 0: nothing */
  gint64 step;    /* of the boards, the newest when it was deleted */
  GtkWidget *label;
} Undo;

static Undo *
undo_of (GtkWidget *widget)
{
  return g_object_get_data (G_OBJECT (widget), "undo");
}

static void
bring_back (GtkWidget *widget)
{
  Undo *undo = undo_of (widget);
  GError *error = NULL;

  if (undo->deleted == 0)
    return;
  if (!bl_library_restore_equipment (undo->library, undo->deleted, &error))
    bl_widget_report (widget, _ ("The equipment did not come back"), error);
  undo->deleted = 0;
  gtk_widget_set_visible (widget, FALSE);
  undo->changed (undo->data);
}

/* A board that was deleted later comes back first. */
gboolean
bl_equipment_undo (GtkWidget *widget)
{
  Undo *undo = undo_of (widget);

  if (undo->deleted == 0 || bl_library_peek_step (undo->library, BL_STEPS_BOARDS, 0, TRUE, NULL) > undo->step)
    return FALSE;
  bring_back (widget);
  return TRUE;
}

static void
undo_pressed (GtkButton *button, GtkWidget *widget)
{
  bring_back (widget);
}

GtkWidget *
bl_equipment_undo_new (BlLibrary *library, GCallback changed, gpointer data)
{
  g_return_val_if_fail (library != NULL && changed != NULL, NULL);
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 12), *button = gtk_button_new ();
  GtkWidget *inner = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 6);
  Undo *undo = g_new0 (Undo, 1);

  undo->library = library;
  undo->changed = (void (*) (gpointer)) changed;
  undo->data = data;
  undo->label = bl_label ("", NULL, 0);
  gtk_label_set_ellipsize (GTK_LABEL (undo->label), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (inner), bl_label (_ ("undo"), NULL, 0));
  gtk_box_append (GTK_BOX (inner), bl_key_cap (_ ("Ctrl Z")));
  gtk_button_set_child (GTK_BUTTON (button), inner);
  gtk_widget_add_css_class (button, "act");
  bl_widget_name (button, _ ("Bring the equipment back"));
  g_signal_connect (button, "clicked", G_CALLBACK (undo_pressed), box);
  gtk_box_append (GTK_BOX (box), undo->label);
  gtk_box_append (GTK_BOX (box), button);
  gtk_widget_add_css_class (box, "undo-line");
  gtk_widget_set_visible (box, FALSE);
  g_object_set_data_full (G_OBJECT (box), "undo", undo, g_free);
  return box;
}

static void
delete_pressed (GtkButton *button, GtkWidget *widget)
{
  Undo *undo = undo_of (widget);
  const gint64 *id = g_object_get_data (G_OBJECT (button), "equipment");
  g_autofree char *words = g_strdup_printf (_ ("The equipment “%s” is deleted; its boards stay."),
                                            (const char *) g_object_get_data (G_OBJECT (button), "title"));
  GError *error = NULL;

  if (!bl_library_delete_equipment (undo->library, *id, &error))
    {
      bl_widget_report (widget, _ ("The equipment was not deleted"), error);
      return;
    }
  undo->deleted = *id;
  undo->step = bl_library_peek_step (undo->library, BL_STEPS_BOARDS, 0, TRUE, NULL);
  gtk_label_set_label (GTK_LABEL (undo->label), words);
  gtk_widget_set_visible (widget, TRUE);
  undo->changed (undo->data);
}

static void
export_pressed (GtkButton *button, GtkWidget *widget)
{
  const gint64 *id = g_object_get_data (G_OBJECT (button), "equipment");

  bl_equipment_export (widget, undo_of (widget)->library, *id);
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
button (GtkWidget *box, const char *words, const BlEquipmentRow *row, GCallback pressed, GtkWidget *undo)
{
  GtkWidget *act = gtk_button_new_with_label (words);
  const char *title = row->title != NULL ? row->title : "";
  g_autofree char *full = g_strdup_printf ("%s: %s", words, title);

  gtk_widget_add_css_class (act, "act");
  gtk_widget_set_valign (act, GTK_ALIGN_CENTER);
  bl_widget_name (act, full);
  g_object_set_data_full (G_OBJECT (act), "equipment", g_memdup2 (&row->id, sizeof row->id), g_free);
  g_object_set_data_full (G_OBJECT (act), "title", g_strdup (title), g_free);
  g_signal_connect_object (act, "clicked", pressed, undo, 0);
  gtk_box_append (GTK_BOX (box), act);
}

static GtkWidget *
row_new (BlLibrary *library, const BlEquipmentRow *row, const char *boards, GtkWidget *undo)
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
  button (box, _ ("export…"), row, G_CALLBACK (export_pressed), undo);
  button (box, _ ("delete"), row, G_CALLBACK (delete_pressed), undo);
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
bl_equipment_list_append (GtkListBox *list, BlLibrary *library, const char *text, GtkWidget *undo)
{
  g_return_val_if_fail (GTK_IS_LIST_BOX (list) && library != NULL && text != NULL && undo != NULL, 0);
  g_autoptr (GPtrArray) rows = bl_library_equipments (library, NULL);
  guint n = 0;

  for (guint i = 0; i < bl_len (rows); i++)
    {
      const BlEquipmentRow *row = bl_at (rows, i);
      g_autofree char *boards = boards_words (library, row);
      if (!contains (row->title, text) && !contains (boards, text))
        continue;
      if (n++ == 0)
        gtk_list_box_append (list, heading_new ());
      gtk_list_box_append (list, row_new (library, row, boards, undo));
    }
  return n;
}
