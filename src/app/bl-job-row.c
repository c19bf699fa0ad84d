/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A job in the list: number, board and complaint, customer, where it stands and since when, when it was taken in. A
 * place of the list keeps its item and row, and only the job there changes. The list keeps some hundred rows about those
 * in view, and to make and set out the words of them all takes longer than all else in a search: what a row shows is put
 * in when it comes into view, after the list was set out and before it is drawn. */
#include "config.h"

#include "bl-job-row.h"

#include <glib/gi18n-lib.h>

#include "bl-format.h"
#include "bl-job-states.h"
#include "bl-state-sign.h"
#include "bl-style.h"

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

/* Of one list: the rows that do not show yet what they should. */
typedef struct
{
  GtkWidget *list;
  GHashTable *stale; /* GtkListItem */
  GdkFrameClock *clock;
} Rows;

typedef struct
{
  GtkWidget *number, *board, *complaint, *customer, *sign, *state, *cause, *date;
} Row;

/* A row without words is as high as most with them, so that the list knows well how long it is. */
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
set_up_row (GtkSignalListItemFactory *factory, GtkListItem *item, gpointer data)
{
  GtkWidget *box = gtk_box_new (GTK_ORIENTATION_HORIZONTAL, 16);

  gtk_widget_set_size_request (box, -1, EMPTY_HEIGHT);
  gtk_list_item_set_child (item, box);
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
name_row (GtkListItem *item, gint64 now)
{
  const BlJobItem *entry = gtk_list_item_get_item (item);
  const BlJob *job = entry->job;
  g_autofree char *date = bl_format_day (job->created, now), *state = bl_job_since_words (job, entry->since, now);
  g_autofree char *cause = second_line (entry);
  g_autofree char *name = g_strdup_printf (_ ("Job %d, %s, %s, %s, %s, %s"), job->number, or_empty (job->board_name),
                                           or_empty (job->complaint), state, cause, date);

  bl_widget_name (gtk_list_item_get_child (item), name);
}

static void
fill_row (GtkListItem *item)
{
  GtkWidget *box = gtk_list_item_get_child (item);
  Row *row = g_object_get_data (G_OBJECT (box), "row");
  const BlJobItem *entry = gtk_list_item_get_item (item);
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

/* --- what is in view --- */

static gboolean
in_view (GtkWidget *row, GtkWidget *list)
{
  graphene_rect_t bounds;

  return gtk_widget_get_mapped (row) && gtk_widget_compute_bounds (row, list, &bounds) && bounds.size.width > 0
         && bounds.origin.y + bounds.size.height > 0 && bounds.origin.y < (float) gtk_widget_get_height (list);
}

/* The list was set out: the words of what came into view are set out in the same frame. */
static void
fill_view (GdkFrameClock *clock, Rows *rows)
{
  GHashTableIter iter;
  gpointer item;

  if (g_hash_table_size (rows->stale) == 0 || !gtk_widget_get_mapped (rows->list))
    return;
  g_hash_table_iter_init (&iter, rows->stale);
  while (g_hash_table_iter_next (&iter, &item, NULL))
    if (in_view (gtk_list_item_get_child (item), rows->list))
      {
        g_hash_table_iter_remove (&iter);
        fill_row (item);
      }
}

static void
forget_clock (Rows *rows)
{
  if (rows->clock != NULL)
    g_signal_handlers_disconnect_by_data (rows->clock, rows);
  g_clear_object (&rows->clock);
}

static void
list_realized (GtkWidget *list, GObject *factory)
{
  Rows *rows = g_object_get_data (factory, "rows");

  forget_clock (rows);
  rows->clock = g_object_ref (gtk_widget_get_frame_clock (list));
  g_signal_connect_after (rows->clock, "layout", G_CALLBACK (fill_view), rows);
}

static void
list_unrealized (GtkWidget *list, GObject *factory)
{
  forget_clock (g_object_get_data (factory, "rows"));
}

static void
rows_free (gpointer data)
{
  Rows *rows = data;

  forget_clock (rows);
  g_hash_table_unref (rows->stale);
  g_free (rows);
}

static void
item_changed (BlJobItem *entry, GtkListItem *item)
{
  Rows *rows = g_object_get_data (G_OBJECT (item), "rows");

  g_hash_table_add (rows->stale, item);
  name_row (item, g_get_real_time ());
  gtk_widget_queue_allocate (rows->list);
}

/* --- factory --- */

static void
bind_row (GtkSignalListItemFactory *factory, GtkListItem *item, Rows *rows)
{
  g_object_set_data (G_OBJECT (item), "rows", rows);
  g_signal_connect (gtk_list_item_get_item (item), "changed", G_CALLBACK (item_changed), item);
  g_hash_table_add (rows->stale, item);
  name_row (item, g_get_real_time ());
}

static void
unbind_row (GtkSignalListItemFactory *factory, GtkListItem *item, Rows *rows)
{
  g_signal_handlers_disconnect_by_data (gtk_list_item_get_item (item), item);
  g_hash_table_remove (rows->stale, item);
}

GtkListItemFactory *
bl_job_row_factory_new (GtkWidget *list)
{
  GtkListItemFactory *factory = gtk_signal_list_item_factory_new ();
  Rows *rows = g_new0 (Rows, 1);

  rows->list = list;
  rows->stale = g_hash_table_new (NULL, NULL);
  g_object_set_data_full (G_OBJECT (factory), "rows", rows, rows_free);
  g_signal_connect_object (list, "realize", G_CALLBACK (list_realized), factory, 0);
  g_signal_connect_object (list, "unrealize", G_CALLBACK (list_unrealized), factory, 0);
  g_signal_connect (factory, "setup", G_CALLBACK (set_up_row), NULL);
  g_signal_connect (factory, "bind", G_CALLBACK (bind_row), rows);
  g_signal_connect (factory, "unbind", G_CALLBACK (unbind_row), rows);
  return factory;
}
