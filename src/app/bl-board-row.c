/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a row of the list of boards shows: small photo, words, last job. Some hundred rows. What can be done with a board
 * is in bl-boards-page.c. */
#include "config.h"

#include "bl-board-row.h"

#include <adwaita.h>
#include <glib/gi18n-lib.h>

#include "bl-format.h"
#include "bl-photo-surface.h"
#include "bl-style.h"

enum { JOB_WIDTH = 300 }; /* of the column about the last job */

/* The small photo stored with the board, or one made now from its first photo. */
static GdkTexture *
thumbnail_texture (BlLibrary *library, gint64 id, const BlBoard *board)
{
  g_autoptr (GBytes) stored = bl_library_get_board_thumbnail (library, id, NULL);
  g_autoptr (GBytes) made = NULL;

  if (stored == NULL && board != NULL && bl_len (board->photos) > 0)
    {
      const BlPhoto *photo = bl_at (board->photos, 0);
      g_autofree char *mime = NULL;
      g_autoptr (GBytes) image = bl_library_get_board_photo (library, id, photo->id, &mime, NULL);
      made = image != NULL ? bl_photo_thumbnail (image, NULL) : NULL;
      /* Kept for the next time; in a library that may only be read it is made again. */
      if (made != NULL && !bl_library_is_read_only (library))
        bl_library_put_board_photo (library, id, photo->id, mime, image, made, NULL);
    }
  return stored != NULL || made != NULL ? gdk_texture_new_from_bytes (stored != NULL ? stored : made, NULL) : NULL;
}

GtkWidget *
bl_board_row_thumbnail (BlLibrary *library, gint64 id, const BlBoard *board)
{
  GtkWidget *frame = gtk_overlay_new (), *picture = gtk_picture_new ();
  g_autoptr (GdkTexture) texture = thumbnail_texture (library, id, board);

  if (texture != NULL)
    gtk_picture_set_paintable (GTK_PICTURE (picture), GDK_PAINTABLE (texture));
  gtk_picture_set_content_fit (GTK_PICTURE (picture), GTK_CONTENT_FIT_COVER);
  gtk_picture_set_can_shrink (GTK_PICTURE (picture), TRUE);
  /* As an overlay, so that the size of the picture in it plays no part. */
  gtk_overlay_set_child (GTK_OVERLAY (frame), gtk_box_new (GTK_ORIENTATION_VERTICAL, 0));
  gtk_overlay_add_overlay (GTK_OVERLAY (frame), picture);
  gtk_widget_set_size_request (frame, 144, 96);
  gtk_widget_set_valign (frame, GTK_ALIGN_CENTER);
  gtk_widget_set_overflow (frame, GTK_OVERFLOW_HIDDEN);
  gtk_widget_add_css_class (frame, "thumbnail");
  return frame;
}

char *
bl_board_row_sections (const BlBoard *board)
{
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; board != NULL && i < bl_len (board->sections); i++)
    {
      const BlSection *section = bl_at (board->sections, i);
      gboolean titled = section->title != NULL && *section->title != '\0';
      g_string_append_printf (words, "%s%s", i > 0 ? " · " : "", titled ? section->title : section->id);
    }
  return g_string_free (g_steal_pointer (&words), FALSE);
}

char *
bl_board_row_counts (const BlBoardRow *row)
{
  g_autofree char *points = g_strdup_printf (ngettext ("%u measurement", "%u measurements", row->n_measurements),
                                             row->n_measurements);
  g_autofree char *parts
    = g_strdup_printf (ngettext ("%u component", "%u components", row->n_components), row->n_components);
  return g_strdup_printf ("%s · %s", points, parts);
}

GtkWidget *
bl_board_row_label (GtkWidget *box, const char *words, const char *css)
{
  GtkWidget *label = bl_label (words, css, 0);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_widget_set_tooltip_text (label, words);
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

GtkWidget *
bl_board_row_job (const BlBoardRow *row, const BlJob *job)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2), *label;
  g_autofree char *count = g_strdup_printf (ngettext ("%u job", "%u jobs", row->n_jobs), row->n_jobs);
  g_autofree char *date = job != NULL ? bl_format_day (job->created, g_get_real_time ()) : NULL;
  g_autofree char *last = job != NULL ? g_strdup_printf (_ ("%s, last %d, %s"), count, job->number, date) : NULL;
  gboolean found = job != NULL && job->cause != NULL && *job->cause != '\0';

  label = bl_board_row_label (box, job != NULL ? last : _ ("no job yet"), job != NULL ? NULL : "muted");
  gtk_label_set_width_chars (GTK_LABEL (label), 30);
  gtk_label_set_max_width_chars (GTK_LABEL (label), 30);
  if (job != NULL)
    {
      label = bl_board_row_label (box, job->complaint != NULL ? job->complaint : "", "muted small");
      gtk_label_set_wrap (GTK_LABEL (label), TRUE);
      gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
      gtk_label_set_lines (GTK_LABEL (label), 2);
      gtk_label_set_max_width_chars (GTK_LABEL (label), 30);
      label = bl_board_row_label (box, !job->closed ? _ ("on the bench") : found ? job->cause : C_ ("job", "closed"),
                                  "muted small");
      gtk_label_set_max_width_chars (GTK_LABEL (label), 30);
    }
  gtk_widget_set_valign (box, GTK_ALIGN_CENTER);
  /* As wide in every row, whatever the complaint's length. */
  GtkWidget *column = adw_clamp_new ();
  adw_clamp_set_maximum_size (ADW_CLAMP (column), JOB_WIDTH);
  adw_clamp_set_tightening_threshold (ADW_CLAMP (column), JOB_WIDTH);
  gtk_widget_set_size_request (column, JOB_WIDTH, -1);
  adw_clamp_set_child (ADW_CLAMP (column), box);
  return column;
}
