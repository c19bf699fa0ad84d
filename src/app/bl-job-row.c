/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job in the list: number, board and complaint, customer, where it stands and since when, when it was taken in. A
 * place of the list keeps its item and row, and only the job there changes. */
#include "config.h"

#include "bl-job-row.h"

#include <glib/gi18n-lib.h>

#include "bl-format.h"
#include "bl-job-states.h"
#include "bl-state-sign.h"
#include "bl-style.h"
#include "bl-view-rows.h"

struct _BlJobItem
{
  GObject parent_instance;
  const BlJob *job;
  gint64 since;
  gboolean good;
  char *line;
};

static guint changed;

G_DEFINE_FINAL_TYPE (BlJobItem, bl_job_item, G_TYPE_OBJECT)

static void
bl_job_item_finalize (GObject *object)
{
  g_free (((BlJobItem *) object)->line);
  G_OBJECT_CLASS (bl_job_item_parent_class)->finalize (object);
}

static void
bl_job_item_class_init (BlJobItemClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_job_item_finalize;
  changed = g_signal_new ("changed", BL_TYPE_JOB_ITEM, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_job_item_init (BlJobItem *self)
{
}

void
bl_job_item_set (BlJobItem *self, const BlJob *job, gint64 since, gboolean good, const char *line)
{
  g_return_if_fail (BL_IS_JOB_ITEM (self) && job != NULL);

  if (self->job == job && self->since == since && self->good == good && g_strcmp0 (self->line, line) == 0)
    return;
  self->job = job;
  self->since = since;
  self->good = good;
  g_free (self->line);
  self->line = g_strdup (line);
  g_signal_emit (self, changed, 0);
}

const BlJob *
bl_job_item_get_job (BlJobItem *self)
{
  g_return_val_if_fail (BL_IS_JOB_ITEM (self), NULL);
  return self->job;
}

/* --- rows --- */

typedef struct
{
  GtkWidget *number, *board, *complaint, *customer, *sign, *state, *cause, *date;
} Row;

/* px; a row without words is as high as most with them, so that the list knows well how long it is. */
#define EMPTY_HEIGHT 32

static GtkWidget *
add_label (GtkWidget *box, const char *css, float xalign, int chars, int lines)
{
  GtkWidget *label = bl_label ("", css, xalign);

  gtk_label_set_ellipsize (GTK_LABEL (label), PANGO_ELLIPSIZE_END);
  /* What a job was about is read whole: two lines hold most complaints. */
  if (lines > 1)
    {
      gtk_label_set_wrap (GTK_LABEL (label), TRUE);
      gtk_label_set_wrap_mode (GTK_LABEL (label), PANGO_WRAP_WORD_CHAR);
      gtk_label_set_lines (GTK_LABEL (label), lines);
    }
  if (chars > 0)
    {
      gtk_label_set_width_chars (GTK_LABEL (label), chars);
      gtk_label_set_max_width_chars (GTK_LABEL (label), chars);
    }
  gtk_box_append (GTK_BOX (box), label);
  return label;
}

static Row *
make_row (GtkWidget *box)
{
  GtkWidget *words = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2), *stands = gtk_box_new (GTK_ORIENTATION_VERTICAL, 2);
  Row *row = g_new0 (Row, 1);

  gtk_box_set_spacing (GTK_BOX (box), 16);
  row->number = add_label (box, "choice-title strong", 1, 5, 1);
  row->board = add_label (words, "strong", 0, 0, 1);
  row->complaint = add_label (words, "muted", 0, 0, 2);
  gtk_widget_set_hexpand (words, TRUE);
  gtk_box_append (GTK_BOX (box), words);
  row->customer = add_label (box, "muted", 0, 20, 2);
  row->sign = bl_state_sign_new ();
  gtk_box_append (GTK_BOX (box), row->sign);
  row->state = add_label (stands, NULL, 0, 28, 1);
  row->cause = add_label (stands, "muted", 0, 28, 2);
  gtk_widget_set_valign (stands, GTK_ALIGN_CENTER);
  gtk_box_append (GTK_BOX (box), stands);
  row->date = add_label (box, "muted", 0, 15, 1);
  g_object_set_data_full (G_OBJECT (box), "row", row, g_free);
  return row;
}

static void
set_label (GtkWidget *label, const char *words)
{
  gboolean any = words != NULL && *words != '\0';

  gtk_label_set_label (GTK_LABEL (label), any ? words : "");
  bl_widget_tip (label, words);
}

static const char *
or_empty (const char *text)
{
  return text != NULL ? text : "";
}

/* What there is to say below the state: the cause, and that the board counts as a good one. */
static char *
second_line (const BlJobItem *entry)
{
  const char *cause = or_empty (entry->job->cause);

  if (entry->good && *cause != '\0')
    return g_strdup_printf (_ ("%s; known-good board since"), cause);
  return g_strdup (entry->good ? _ ("known-good board") : cause);
}

static void
name_row (GtkWidget *box, gpointer item, gpointer data)
{
  const BlJobItem *entry = item;
  const BlJob *job = entry->job;
  gint64 now = g_get_real_time ();
  g_autofree char *date = bl_format_day (job->created, now), *state = bl_job_since_words (job, entry->since, now);
  g_autofree char *cause = second_line (entry);
  g_autofree char *name = g_strdup_printf (_ ("Job %d, %s, %s, %s, %s, %s"), job->number, or_empty (job->board_name),
                                           or_empty (job->complaint), state, cause, date);

  bl_widget_name (box, name);
}

static void
fill_row (GtkWidget *box, gpointer item, gpointer data)
{
  Row *row = g_object_get_data (G_OBJECT (box), "row");
  const BlJobItem *entry = item;
  const BlJob *job = entry->job;
  gint64 now = g_get_real_time ();
  g_autofree char *number = g_strdup_printf ("%d", job->number), *date = bl_format_day (job->created, now);
  g_autofree char *found = g_strdup_printf (_ ("in its log: %s"), or_empty (entry->line));
  g_autofree char *state = bl_job_since_words (job, entry->since, now), *cause = second_line (entry);
  /* No style class: the column would be as much wider as the letters. */
  g_autoptr (PangoAttrList) bold = pango_attr_list_new ();

  if (row == NULL)
    row = make_row (box);
  pango_attr_list_insert (bold, pango_attr_weight_new (PANGO_WEIGHT_BOLD));
  gtk_label_set_label (GTK_LABEL (row->number), number);
  set_label (row->board, job->board_name);
  set_label (row->complaint, entry->line != NULL ? found : job->complaint);
  set_label (row->customer, job->customer);
  bl_state_sign_set (BL_STATE_SIGN (row->sign), job->state);
  set_label (row->state, state);
  gtk_label_set_attributes (GTK_LABEL (row->state), job->closed ? NULL : bold);
  set_label (row->cause, cause);
  gtk_widget_set_visible (row->cause, *cause != '\0');
  gtk_label_set_label (GTK_LABEL (row->date), date);
}

GtkListItemFactory *
bl_job_row_factory_new (GtkWidget *list)
{
  return bl_view_rows_new (list, EMPTY_HEIGHT, name_row, fill_row, NULL);
}
