/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Rows for differences: one for each thing that only one side has, one for each value that both say otherwise, under
 * a heading for each list of the document. Taking one may take others along, so what is chosen is always read back
 * from the intake. */
#include "config.h"

#include "bl-import-list.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-import-row.h"
#include "bl-style.h"

enum { SUMMARY = 160 }; /* bytes of what an element says, about three lines */

/* What a row is about; field NULL: the whole of difference; difference NULL: a photo. */
typedef struct
{
  BlIntakeBoard *board;
  BlDifference *difference;
  BlDifferenceField *field;
  BlIntakePhoto *photo;
} About;

static About *
about_of (GtkWidget *row)
{
  return g_object_get_data (G_OBJECT (row), "about");
}

static gboolean
is_taken (const About *about)
{
  if (about->photo != NULL)
    return about->photo->take;
  if (about->field != NULL)
    return about->field->take || about->difference->take;
  /* Of what only the library has, taking the file's side is doing without it. */
  return about->difference->take;
}

void
bl_import_list_show (GtkListBox *list)
{
  for (GtkWidget *row = gtk_widget_get_first_child (GTK_WIDGET (list)); row != NULL; row = gtk_widget_get_next_sibling (row))
    if (BL_IS_IMPORT_ROW (row))
      bl_import_row_set (BL_IMPORT_ROW (row), is_taken (about_of (row)));
}

static void
row_chosen (BlImportRow *row, gboolean theirs, GtkListBox *list)
{
  const About *about = about_of (GTK_WIDGET (row));
  void (*chosen) (gpointer data) = (void (*) (gpointer)) g_object_get_data (G_OBJECT (list), "chosen");

  if (about->photo != NULL)
    about->photo->take = theirs;
  else if (about->field != NULL)
    bl_intake_set_field (about->board, about->difference, about->field, theirs);
  else
    bl_intake_set_take (about->board, about->difference, theirs);
  if (chosen != NULL)
    chosen (g_object_get_data (G_OBJECT (list), "chosen-data"));
}

void
bl_import_list_watch (GtkListBox *list, GCallback chosen, gpointer data)
{
  g_return_if_fail (GTK_IS_LIST_BOX (list));
  g_object_set_data (G_OBJECT (list), "chosen-data", data);
  g_object_set_data (G_OBJECT (list), "chosen", (gpointer) chosen);
}

/* --- words --- */

/* "place: 120, 80 on front · ground: isolated": what an element says, by one side. */
static char *
summary (const BlDifference *difference, gboolean theirs)
{
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; i < bl_len (difference->fields) && words->len < SUMMARY; i++)
    {
      const BlDifferenceField *field = bl_at (difference->fields, i);
      const char *value = theirs ? field->theirs : field->mine;
      if (value != NULL)
        g_string_append_printf (words, "%s%s: %s", words->len > 0 ? " · " : "", field->words, value);
    }
  return words->len > 0 ? g_string_free (g_steal_pointer (&words), FALSE) : g_strdup (_ ("as it stands"));
}

static const char *
or_nothing (const char *value)
{
  return value != NULL && *value != '\0' ? value : _ ("says nothing");
}

/* --- rows --- */

static void
append (GtkListBox *list, GtkWidget *row, const About *about)
{
  g_object_set_data_full (G_OBJECT (row), "about", g_memdup2 (about, sizeof *about), g_free);
  g_signal_connect_object (row, "chosen", G_CALLBACK (row_chosen), list, 0);
  gtk_list_box_append (list, row);
}

static void
append_heading (GtkListBox *list, const char *words, const char *counts)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 8);

  gtk_box_append (GTK_BOX (box), bl_label (words, "heading", 0));
  gtk_box_append (GTK_BOX (box), bl_label (counts, "muted small", 0));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  gtk_list_box_row_set_activatable (GTK_LIST_BOX_ROW (row), FALSE);
  gtk_widget_set_focusable (row, FALSE);
  gtk_widget_add_css_class (row, "import-heading");
  gtk_list_box_append (list, row);
}

/* "2 only in the file, 1 only here, 3 otherwise" */
static char *
count_words (const GPtrArray *differences, const char *list)
{
  guint added = bl_differences_count (differences, BL_DIFFERENCE_ADDED, list);
  guint removed = bl_differences_count (differences, BL_DIFFERENCE_REMOVED, list);
  guint other = bl_differences_count (differences, BL_N_DIFFERENCES, list) - added - removed;
  g_autoptr (GString) words = g_string_new (NULL);

  if (added > 0)
    g_string_append_printf (words, ngettext ("%u only in the file", "%u only in the file", added), added);
  if (removed > 0)
    {
      g_string_append (words, words->len > 0 ? ", " : "");
      g_string_append_printf (words, ngettext ("%u only here", "%u only here", removed), removed);
    }
  if (other > 0)
    {
      g_string_append (words, words->len > 0 ? ", " : "");
      g_string_append_printf (words, ngettext ("%u otherwise", "%u otherwise", other), other);
    }
  return g_string_free (g_steal_pointer (&words), FALSE);
}

static void
append_fields (GtkListBox *list, About *about)
{
  const BlDifference *difference = about->difference;

  for (guint i = 0; i < bl_len (difference->fields); i++)
    {
      about->field = bl_at (difference->fields, i);
      append (list,
              bl_import_row_new (i == 0 ? difference->id : "", about->field->words, or_nothing (about->field->mine),
                                 or_nothing (about->field->theirs)),
              about);
    }
  about->field = NULL;
}

static void
append_difference (GtkListBox *list, BlIntakeBoard *board, BlDifference *difference)
{
  About about = { board, difference, NULL, NULL };
  const char *title = difference->title != NULL ? difference->title : "";
  g_autofree char *mine = summary (difference, FALSE), *theirs = summary (difference, TRUE);

  if (difference->kind == BL_DIFFERENCE_CHANGED && *difference->list != '\0')
    append_fields (list, &about);
  else if (difference->kind == BL_DIFFERENCE_ADDED)
    append (list, bl_import_row_new (difference->id, title, _ ("not here"), theirs), &about);
  else if (difference->kind == BL_DIFFERENCE_REMOVED)
    append (list, bl_import_row_new (difference->id, title, mine, _ ("not in the file: remove it here")), &about);
  else if (difference->kind == BL_DIFFERENCE_RENAMED)
    append (list, bl_import_row_new (difference->id, _ ("another id"), difference->old_id, difference->id), &about);
  else if (bl_len (difference->fields) == 1) /* a value of the head */
    {
      about.field = bl_at (difference->fields, 0);
      append (list,
              bl_import_row_new (about.field->words, title, or_nothing (about.field->mine), or_nothing (about.field->theirs)),
              &about);
    }
  else
    append_fields (list, &about);
}

static void
append_photos (GtkListBox *list, BlIntakeBoard *board)
{
  g_autofree char *counts = g_strdup_printf (ngettext ("%u otherwise", "%u otherwise", board->photos->len),
                                             board->photos->len);

  if (board->photos->len > 0)
    append_heading (list, _ ("pictures"), counts);
  for (guint i = 0; i < board->photos->len; i++)
    {
      About about = { board, NULL, NULL, bl_at (board->photos, i) };
      const BlPhoto *photo = bl_board_photo (board->theirs, about.photo->id);
      append (list,
              bl_import_row_new_pictures (about.photo->id, photo != NULL && photo->side != NULL ? photo->side : "",
                                          about.photo->mine, about.photo->theirs),
              &about);
    }
}

void
bl_import_list_fill (GtkListBox *list, BlIntakeBoard *board)
{
  g_return_if_fail (GTK_IS_LIST_BOX (list));
  const char *last = NULL;

  bl_widget_clear (GTK_WIDGET (list));
  if (board == NULL || board->differences == NULL)
    return;
  append_photos (list, board);
  for (guint i = 0; i < board->differences->len; i++)
    {
      BlDifference *difference = bl_at (board->differences, i);
      if (last == NULL || strcmp (last, difference->list) != 0)
        {
          g_autofree char *counts = count_words (board->differences, difference->list);
          append_heading (list, bl_difference_list_words (difference->list), counts);
          last = difference->list;
        }
      append_difference (list, board, difference);
    }
  bl_import_list_show (list);
}
