/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The lines of a bench log as a list, the newest first: some hundred, a thousand of a board that came back. An entry adds
 * one line, and what a list view has made of the others stays. The words are the view's. */
#include "config.h"

#include "bl-log-model.h"

struct _BlLogLine
{
  GObject parent_instance;
  guint place;
};

G_DEFINE_FINAL_TYPE (BlLogLine, bl_log_line, G_TYPE_OBJECT)

static void
bl_log_line_class_init (BlLogLineClass *klass)
{
}

static void
bl_log_line_init (BlLogLine *self)
{
}

guint
bl_log_line_get_place (BlLogLine *self)
{
  g_return_val_if_fail (BL_IS_LOG_LINE (self), 0);
  return self->place;
}

/* --- list --- */

struct _BlLogModel
{
  GObject parent_instance;
  GArray *ids; /* gint64 of the records, oldest first */
};

static gpointer
get_item (GListModel *model, guint position)
{
  BlLogModel *self = BL_LOG_MODEL (model);

  if (position >= self->ids->len)
    return NULL;
  BlLogLine *line = g_object_new (BL_TYPE_LOG_LINE, NULL);
  line->place = self->ids->len - 1 - position;
  return line;
}

static GType
get_item_type (GListModel *model)
{
  return BL_TYPE_LOG_LINE;
}

static guint
get_n_items (GListModel *model)
{
  return BL_LOG_MODEL (model)->ids->len;
}

static void
list_model_init (GListModelInterface *interface)
{
  interface->get_item = get_item;
  interface->get_item_type = get_item_type;
  interface->get_n_items = get_n_items;
}

G_DEFINE_FINAL_TYPE_WITH_CODE (BlLogModel, bl_log_model, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (G_TYPE_LIST_MODEL, list_model_init))

static void
bl_log_model_finalize (GObject *object)
{
  g_array_unref (BL_LOG_MODEL (object)->ids);
  G_OBJECT_CLASS (bl_log_model_parent_class)->finalize (object);
}

static void
bl_log_model_class_init (BlLogModelClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_log_model_finalize;
}

static void
bl_log_model_init (BlLogModel *self)
{
  self->ids = g_array_new (FALSE, FALSE, sizeof (gint64));
}

gboolean
bl_log_model_set (BlLogModel *self, GPtrArray *records)
{
  g_return_val_if_fail (BL_IS_LOG_MODEL (self), FALSE);
  g_autoptr (GArray) old = g_steal_pointer (&self->ids);
  guint same = 0;

  self->ids = g_array_new (FALSE, FALSE, sizeof (gint64));
  for (guint i = 0; records != NULL && i < records->len; i++)
    g_array_append_val (self->ids, ((const BlRecord *) records->pdata[i])->id);
  while (same < old->len && same < self->ids->len
         && g_array_index (old, gint64, same) == g_array_index (self->ids, gint64, same))
    same++;
  if (same == old->len && same == self->ids->len)
    return FALSE;
  g_list_model_items_changed (G_LIST_MODEL (self), 0, old->len - same, self->ids->len - same);
  return TRUE;
}
