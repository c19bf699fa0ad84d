/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The jobs: newest first, found by any word of them. Some thousand rows at most in a small shop; the
 * list shows the newest 500 that match. */
#include "config.h"

#include "bl-jobs-page.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"
#include "bl-window.h"

#define MOST 500

struct _BlJobsPage
{
  GtkWidget parent_instance;

  BlLibrary *library; /* of the application */
  GtkListBox *list;
  GtkLabel *count;
  GtkEditable *search;
};

G_DEFINE_FINAL_TYPE (BlJobsPage, bl_jobs_page, GTK_TYPE_WIDGET)

static const char *
or_empty (const char *text)
{
  return text != NULL ? text : "";
}

static gboolean
matches (const BlJob *job, const char *words)
{
  g_autofree char *all = g_strdup_printf ("%d %s %s %s %s %s %s", job->number, or_empty (job->board_name),
                                          or_empty (job->customer), or_empty (job->unit), or_empty (job->serial),
                                          or_empty (job->complaint), or_empty (job->cause));
  g_autofree char *folded = g_utf8_casefold (all, -1);
  g_auto (GStrv) terms = g_strsplit (words, " ", -1);

  for (guint i = 0; terms[i] != NULL; i++)
    {
      g_autofree char *term = g_utf8_casefold (terms[i], -1);
      if (strstr (folded, term) == NULL)
        return FALSE;
    }
  return TRUE;
}

static GtkWidget *
row_of (const BlJob *job)
{
  GtkWidget *row = gtk_list_box_row_new (), *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16), *label;
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  g_autofree char *number = g_strdup_printf ("%d", job->number);
  g_autoptr (GDateTime) utc = g_date_time_new_from_unix_utc (job->created / G_USEC_PER_SEC);
  g_autoptr (GDateTime) local = g_date_time_to_local (utc);
  g_autofree char *date = g_date_time_format (local, "%x %H:%M");
  const char *state = job->closed ? (job->cause != NULL && *job->cause != '\0' ? job->cause : _ ("closed"))
                                  : _ ("on the bench");
  g_autofree char *name = g_strdup_printf (_ ("Job %s, %s, %s, %s"), number, or_empty (job->board_name),
                                           or_empty (job->complaint), state);

  label = bl_label (number, "choice-title strong", 1);
  gtk_label_set_width_chars (GTK_LABEL (label), 5);
  gtk_box_append (GTK_BOX (box), label);
  label = bl_label (job->board_name, "strong", 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (words), label);
  label = bl_label (or_empty (job->complaint), "muted", 0);
  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  gtk_box_append (GTK_BOX (words), label);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (box), words);
  gtk_box_append (GTK_BOX (box), bl_label (or_empty (job->customer), "muted", 1));
  gtk_box_append (GTK_BOX (box), bl_label (state, NULL, 1));
  gtk_box_append (GTK_BOX (box), bl_label (date, "muted", 1));
  gtk_list_box_row_set_child (GTK_LIST_BOX_ROW (row), box);
  bl_widget_name (row, name);
  g_object_set_data_full (G_OBJECT (row), "job", g_memdup2 (&job->id, sizeof job->id), g_free);
  return row;
}

void
bl_jobs_page_refresh (BlJobsPage *self)
{
  g_return_if_fail (BL_IS_JOBS_PAGE (self));
  GError *error = NULL;
  g_autoptr (GPtrArray) jobs = bl_library_jobs (self->library, &error);
  g_autofree char *count = NULL;
  guint shown = 0;

  bl_widget_clear (GTK_WIDGET (self->list));
  if (jobs == NULL)
    bl_widget_report (GTK_WIDGET (self), _ ("The jobs cannot be listed"), error);
  for (guint i = 0; i < bl_len (jobs) && shown < MOST; i++)
    if (matches (bl_at (jobs, i), gtk_editable_get_text (self->search)))
      {
        gtk_list_box_append (self->list, row_of (bl_at (jobs, i)));
        shown++;
      }
  if (bl_len (jobs) == 0)
    count = g_strdup (_ ("No job yet. Ctrl N begins one, from a documented board or from a photo alone."));
  else
    count = g_strdup_printf (_ ("%u of %u"), shown, bl_len (jobs));
  gtk_label_set_label (self->count, count);
}

void
bl_jobs_page_focus (BlJobsPage *self)
{
  g_return_if_fail (BL_IS_JOBS_PAGE (self));
  GtkListBoxRow *first = gtk_list_box_get_row_at_index (self->list, 0);

  if (first == NULL)
    return;
  gtk_list_box_select_row (self->list, first);
  gtk_widget_grab_focus (GTK_WIDGET (first));
}

static void
row_activated (GtkListBox *list, GtkListBoxRow *row, BlJobsPage *self)
{
  const gint64 *job = g_object_get_data (G_OBJECT (row), "job");
  BlWindow *window = bl_window_of (GTK_WIDGET (self));

  if (window != NULL && job != NULL)
    bl_window_open_job (window, *job);
}

static void
search_changed (BlJobsPage *self)
{
  bl_jobs_page_refresh (self);
}

static void
bl_jobs_page_dispose (GObject *object)
{
  gtk_widget_dispose_template (GTK_WIDGET (object), BL_TYPE_JOBS_PAGE);
  for (GtkWidget *child; (child = gtk_widget_get_first_child (GTK_WIDGET (object))) != NULL;)
    gtk_widget_unparent (child);
  G_OBJECT_CLASS (bl_jobs_page_parent_class)->dispose (object);
}

static void
bl_jobs_page_class_init (BlJobsPageClass *klass)
{
  GtkWidgetClass *widget_class = GTK_WIDGET_CLASS (klass);

  G_OBJECT_CLASS (klass)->dispose = bl_jobs_page_dispose;
  gtk_widget_class_set_template_from_resource (widget_class, "/org/benchlore/Benchlore/bl-jobs-page.ui");
  gtk_widget_class_bind_template_child (widget_class, BlJobsPage, list);
  gtk_widget_class_bind_template_child (widget_class, BlJobsPage, count);
  gtk_widget_class_bind_template_child (widget_class, BlJobsPage, search);
  gtk_widget_class_bind_template_callback (widget_class, row_activated);
  gtk_widget_class_bind_template_callback (widget_class, search_changed);
}

static void
bl_jobs_page_init (BlJobsPage *self)
{
  gtk_widget_init_template (GTK_WIDGET (self));
}

GtkWidget *
bl_jobs_page_new (BlLibrary *library)
{
  BlJobsPage *self = g_object_new (BL_TYPE_JOBS_PAGE, NULL);

  self->library = library;
  return GTK_WIDGET (self);
}
