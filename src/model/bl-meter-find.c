/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Which drivers there are and what they find: one run of the helper each, ended in time. */
#include "config.h"

#include "bl-meter-link.h"

#include "bl-meter-run.h"

#include <string.h>

#include <glib/gi18n-lib.h>

/* A driver tries several speeds on a serial port, some seconds in all; the list takes 40 ms. */
#define SEARCH_TIME 15000

typedef struct
{
  BlMeterRun *run;
  GPtrArray *found;
  gulong cancelled;
} Find;

static void
find_free (gpointer data)
{
  Find *find = data;

  bl_meter_run_free (find->run);
  g_ptr_array_unref (find->found);
  g_free (find);
}

void
bl_meter_driver_free (BlMeterDriver *driver)
{
  if (driver == NULL)
    return;
  g_free (driver->name);
  g_free (driver->title);
  g_free (driver);
}

static void
on_line (json_t *line, gpointer data)
{
  Find *find = g_task_get_task_data (data);
  const char *name = json_string_value (json_object_get (line, "driver"));
  const char *title = json_string_value (json_object_get (line, "title"));
  const char *device = json_string_value (json_object_get (line, "device"));
  BlMeterDriver *driver;

  if (device != NULL)
    g_ptr_array_add (find->found, g_strdup (device));
  if (name == NULL || title == NULL)
    return;
  driver = g_new0 (BlMeterDriver, 1);
  driver->name = g_strdup (name);
  driver->title = g_strdup (title);
  driver->takes_connection = json_is_true (json_object_get (line, "connection"));
  driver->takes_serialcomm = json_is_true (json_object_get (line, "serialcomm"));
  g_ptr_array_add (find->found, driver);
}

static void
on_end (const char *words, gpointer data)
{
  g_autoptr (GTask) task = data;
  Find *find = g_task_get_task_data (task);

  g_cancellable_disconnect (g_task_get_cancellable (task), find->cancelled);
  find->cancelled = 0;
  if (words != NULL)
    g_task_return_new_error (task, G_IO_ERROR, G_IO_ERROR_FAILED, _ ("Looking for meters: %s"), words);
  else
    g_task_return_pointer (task, g_ptr_array_ref (find->found), (GDestroyNotify) g_ptr_array_unref);
}

/* The handler of a cancellable may not disconnect itself, and ends the run from the main loop. */
static gboolean
end_cancelled (gpointer data)
{
  g_autoptr (GTask) task = data;
  Find *find = g_task_get_task_data (task);

  if (find->cancelled == 0)
    return G_SOURCE_REMOVE;
  g_clear_pointer (&find->run, bl_meter_run_free);
  on_end (_ ("stopped"), task);
  return G_SOURCE_REMOVE;
}

static void
on_cancelled (GCancellable *cancellable, gpointer data)
{
  g_idle_add (end_cancelled, g_object_ref (data));
}

static void
find (const char *const *arguments, guint n, GDestroyNotify free_one, GTask *task)
{
  Find *data = g_new0 (Find, 1);
  GError *error = NULL;

  data->found = g_ptr_array_new_with_free_func (free_one);
  g_task_set_task_data (task, data, find_free);
  g_task_set_return_on_cancel (task, FALSE);
  data->run = bl_meter_run_new (arguments, n, on_line, on_end, task, &error);
  if (data->run == NULL)
    {
      g_task_return_error (task, error);
      g_object_unref (task);
      return;
    }
  bl_meter_run_deadline (data->run, SEARCH_TIME, _ ("no answer in time. Is it switched on, and the connection right?"));
  if (g_task_get_cancellable (task) != NULL)
    data->cancelled = g_cancellable_connect (g_task_get_cancellable (task), G_CALLBACK (on_cancelled), task, NULL);
}

void
bl_meter_link_drivers_async (GCancellable *cancellable, GAsyncReadyCallback callback, gpointer data)
{
  const char *arguments[] = { "drivers" };
  GTask *task = g_task_new (NULL, cancellable, callback, data);

  g_task_set_source_tag (task, bl_meter_link_drivers_async);
  find (arguments, 1, (GDestroyNotify) bl_meter_driver_free, task);
}

static int
by_title (gconstpointer a, gconstpointer b)
{
  const BlMeterDriver *one = *(const BlMeterDriver *const *) a, *two = *(const BlMeterDriver *const *) b;

  return g_utf8_collate (one->title, two->title);
}

GPtrArray *
bl_meter_link_drivers_finish (GAsyncResult *result, GError **error)
{
  GPtrArray *found;

  g_return_val_if_fail (g_async_result_is_tagged (result, bl_meter_link_drivers_async), NULL);
  found = g_task_propagate_pointer (G_TASK (result), error);
  if (found != NULL)
    g_ptr_array_sort (found, by_title);
  return found;
}

void
bl_meter_link_scan_async (const char *driver, const char *connection, const char *serialcomm,
                          GCancellable *cancellable, GAsyncReadyCallback callback, gpointer data)
{
  const char *arguments[] = { "scan", driver, connection, serialcomm };
  GTask *task;

  g_return_if_fail (driver != NULL);
  task = g_task_new (NULL, cancellable, callback, data);
  g_task_set_source_tag (task, bl_meter_link_scan_async);
  find (arguments, G_N_ELEMENTS (arguments), g_free, task);
}

GPtrArray *
bl_meter_link_scan_finish (GAsyncResult *result, GError **error)
{
  g_return_val_if_fail (g_async_result_is_tagged (result, bl_meter_link_scan_async), NULL);
  return g_task_propagate_pointer (G_TASK (result), error);
}
