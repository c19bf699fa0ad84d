/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The jobs that the list shows, some thousand of them. A list view asks for those it has rows for, a few hundred at most:
 * only these get an object. A search that finds others leaves the objects at their places and tells them their new job;
 * the list hears of what came or went at its end alone. */
#include "config.h"

#include "bl-jobs-model.h"

#include "bl-board.h"
#include "bl-job-row.h"

struct _BlJobsModel
{
  GObject parent_instance;
  GArray *entries;  /* BlJobEntry */
  GPtrArray *items; /* BlJobItem at its place; NULL: not asked for yet */
};

static void
fill_item (BlJobsModel *self, guint place)
{
  const BlJobEntry *entry = &g_array_index (self->entries, BlJobEntry, place);
  bl_job_item_set (bl_at (self->items, place), entry->job, entry->since, entry->good, entry->line);
}

static gpointer
get_item (GListModel *model, guint place)
{
  BlJobsModel *self = BL_JOBS_MODEL (model);

  if (place >= self->entries->len)
    return NULL;
  if (self->items->pdata[place] == NULL)
    {
      self->items->pdata[place] = g_object_new (BL_TYPE_JOB_ITEM, NULL);
      fill_item (self, place);
    }
  return g_object_ref (self->items->pdata[place]);
}

static GType
get_item_type (GListModel *model)
{
  return BL_TYPE_JOB_ITEM;
}

static guint
get_n_items (GListModel *model)
{
  return BL_JOBS_MODEL (model)->entries->len;
}

static void
list_model_init (GListModelInterface *interface)
{
  interface->get_item = get_item;
  interface->get_item_type = get_item_type;
  interface->get_n_items = get_n_items;
}

G_DEFINE_FINAL_TYPE_WITH_CODE (BlJobsModel, bl_jobs_model, G_TYPE_OBJECT,
                               G_IMPLEMENT_INTERFACE (G_TYPE_LIST_MODEL, list_model_init))

static void
unref_item (gpointer item)
{
  g_clear_object (&item);
}

static void
bl_jobs_model_finalize (GObject *object)
{
  BlJobsModel *self = BL_JOBS_MODEL (object);

  g_ptr_array_unref (self->items);
  g_array_unref (self->entries);
  G_OBJECT_CLASS (bl_jobs_model_parent_class)->finalize (object);
}

static void
bl_jobs_model_class_init (BlJobsModelClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_jobs_model_finalize;
}

static void
bl_jobs_model_init (BlJobsModel *self)
{
  self->entries = g_array_new (FALSE, FALSE, sizeof (BlJobEntry));
  self->items = g_ptr_array_new_with_free_func (unref_item);
}

BlJobsModel *
bl_jobs_model_new (void)
{
  return g_object_new (BL_TYPE_JOBS_MODEL, NULL);
}

void
bl_jobs_model_set (BlJobsModel *self, GArray *entries)
{
  g_return_if_fail (BL_IS_JOBS_MODEL (self) && entries != NULL);
  guint before = self->entries->len, after = entries->len, both = MIN (before, after);

  g_array_unref (self->entries);
  self->entries = entries;
  g_ptr_array_set_size (self->items, (int) after);
  for (guint i = 0; i < both; i++)
    if (self->items->pdata[i] != NULL)
      fill_item (self, i);
  if (before != after)
    g_list_model_items_changed (G_LIST_MODEL (self), both, before - both, after - both);
}

guint
bl_jobs_model_n (BlJobsModel *self)
{
  g_return_val_if_fail (BL_IS_JOBS_MODEL (self), 0);
  return self->entries->len;
}

const BlJob *
bl_jobs_model_job (BlJobsModel *self, guint place)
{
  g_return_val_if_fail (BL_IS_JOBS_MODEL (self) && place < self->entries->len, NULL);
  return g_array_index (self->entries, BlJobEntry, place).job;
}
