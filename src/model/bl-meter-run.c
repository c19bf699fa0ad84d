/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One run of benchlore-meter: lines read as they come, ended in time whatever it is stuck in.
 *
 * Callbacks of the reading may come after the run was freed; so each holds a reference, and the owner's
 * functions are forgotten by then. A process is ended by force, for a driver that hangs hears nothing else;
 * a meter keeps no state that this could spoil.
 *
 * The program is looked for beside the running one, as it lies in a build or an installed tree, then where it
 * is installed. */
#include "config.h"

#include "bl-meter-run.h"

#include <string.h>

#include <glib/gi18n-lib.h>

#define PROGRAM "benchlore-meter"

struct BlMeterRun
{
  gint refs;
  GSubprocess *process;
  GDataInputStream *lines;
  GCancellable *cancellable;
  BlMeterRunLine line;
  BlMeterRunEnd end; /* NULL: nobody listens any more */
  gpointer data;
  guint timer;
  char *late;
  char *error;   /* the process' own last words */
  gboolean read; /* to the end of its output */
  gboolean gone;
};

static void
run_unref (BlMeterRun *self)
{
  if (!g_atomic_int_dec_and_test (&self->refs))
    return;
  g_clear_object (&self->lines);
  g_clear_object (&self->process);
  g_clear_object (&self->cancellable);
  g_free (self->late);
  g_free (self->error);
  g_free (self);
}

/* --- The program ------------------------------------------------------------------------------ */

/* (transfer full), NULL: nowhere. */
static char *
find_program (void)
{
  static const char *const places[] = { "", "../cli", "../../src/cli", "../libexec/benchlore" };
  g_autofree char *self = g_file_read_link ("/proc/self/exe", NULL);
  g_autofree char *folder = self != NULL ? g_path_get_dirname (self) : NULL;
  char *path;

  for (guint i = 0; folder != NULL && i < G_N_ELEMENTS (places); i++)
    {
      path = g_build_filename (folder, places[i], PROGRAM, NULL);
      if (g_file_test (path, G_FILE_TEST_IS_EXECUTABLE))
        return path;
      g_free (path);
    }
  path = g_build_filename (BL_LIBEXEC_DIR, PROGRAM, NULL);
  if (g_file_test (path, G_FILE_TEST_IS_EXECUTABLE))
    return path;
  g_free (path);
  return NULL;
}

static GSubprocess *
start (const char *const *arguments, guint n, GError **error)
{
  g_autoptr (GPtrArray) line = g_ptr_array_new ();
  g_autofree char *program = find_program ();

  if (program == NULL)
    {
      g_set_error (error, G_IO_ERROR, G_IO_ERROR_NOT_FOUND, _ ("The program %s that reads meters is not installed"),
                   PROGRAM);
      return NULL;
    }
  g_ptr_array_add (line, program);
  for (guint i = 0; i < n; i++)
    g_ptr_array_add (line, (gpointer) (arguments[i] != NULL ? arguments[i] : ""));
  g_ptr_array_add (line, NULL);
  return g_subprocess_newv ((const char *const *) line->pdata,
                            G_SUBPROCESS_FLAGS_STDIN_PIPE | G_SUBPROCESS_FLAGS_STDOUT_PIPE |
                              G_SUBPROCESS_FLAGS_STDERR_SILENCE,
                            error);
}

/* --- Lines ------------------------------------------------------------------------------------ */

static void
finish (BlMeterRun *self, const char *words)
{
  BlMeterRunEnd end = self->end;

  g_clear_handle_id (&self->timer, g_source_remove);
  g_subprocess_force_exit (self->process);
  self->end = NULL;
  if (end != NULL)
    end (words, self->data);
}

/* All it said was read, and how it ended is known. */
static void
finish_when_over (BlMeterRun *self)
{
  if (self->end != NULL && self->read && self->gone)
    finish (self, self->error);
}

static void
keep_error (BlMeterRun *self, json_t *line)
{
  const char *error = json_string_value (json_object_get (line, "error"));
  const char *said = json_string_value (json_object_get (line, "said"));

  if (error == NULL)
    return;
  g_free (self->error);
  self->error = said != NULL && *said != '\0' ? g_strdup_printf ("%s (%s)", error, said) : g_strdup (error);
}

static void on_line (GObject *source, GAsyncResult *result, gpointer data);

static void
read_on (BlMeterRun *self)
{
  g_atomic_int_inc (&self->refs);
  g_data_input_stream_read_line_async (self->lines, G_PRIORITY_DEFAULT, self->cancellable, on_line, self);
}

static void
on_line (GObject *source, GAsyncResult *result, gpointer data)
{
  BlMeterRun *self = data;
  g_autofree char *text = g_data_input_stream_read_line_finish (G_DATA_INPUT_STREAM (source), result, NULL, NULL);
  json_t *line;

  if (self->end != NULL && text != NULL)
    {
      line = json_loads (text, 0, NULL);
      if (json_object_get (line, "error") != NULL)
        keep_error (self, line);
      else
        self->line (json_is_object (line) ? line : NULL, self->data);
      json_decref (line);
    }
  if (self->end != NULL && text != NULL)
    read_on (self);
  self->read = text == NULL;
  finish_when_over (self);
  run_unref (self);
}

/* A crash is told, where nothing else was. */
static void
on_ended (GObject *source, GAsyncResult *result, gpointer data)
{
  BlMeterRun *self = data;
  GSubprocess *process = G_SUBPROCESS (source);

  g_subprocess_wait_finish (process, result, NULL);
  if (self->end != NULL && self->error == NULL && g_subprocess_get_if_signaled (process))
    self->error = g_strdup_printf (_ ("the meter's driver crashed (signal %d)"), g_subprocess_get_term_sig (process));
  self->gone = TRUE;
  finish_when_over (self);
  run_unref (self);
}

static gboolean
on_late (gpointer data)
{
  BlMeterRun *self = data;

  self->timer = 0;
  finish (self, self->late);
  return G_SOURCE_REMOVE;
}

BlMeterRun *
bl_meter_run_new (const char *const *arguments, guint n, BlMeterRunLine line, BlMeterRunEnd end, gpointer data,
                  GError **error)
{
  GSubprocess *process;
  BlMeterRun *self;

  g_return_val_if_fail (arguments != NULL && line != NULL && end != NULL, NULL);
  /* Writing to a process that just ended must not end this one: the class of sockets has SIGPIPE ignored. */
  g_type_class_unref (g_type_class_ref (G_TYPE_SOCKET));
  process = start (arguments, n, error);
  if (process == NULL)
    return NULL;
  self = g_new0 (BlMeterRun, 1);
  self->refs = 2;
  self->process = process;
  self->lines = g_data_input_stream_new (g_subprocess_get_stdout_pipe (process));
  self->cancellable = g_cancellable_new ();
  self->line = line;
  self->end = end;
  self->data = data;
  g_subprocess_wait_async (process, NULL, on_ended, self);
  read_on (self);
  return self;
}

void
bl_meter_run_free (BlMeterRun *self)
{
  if (self == NULL)
    return;
  g_clear_handle_id (&self->timer, g_source_remove);
  if (self->end != NULL)
    g_subprocess_force_exit (self->process);
  self->end = NULL;
  g_cancellable_cancel (self->cancellable);
  run_unref (self);
}

void
bl_meter_run_deadline (BlMeterRun *self, guint milliseconds, const char *words)
{
  g_return_if_fail (self != NULL && words != NULL);
  if (self->end == NULL)
    return;
  g_clear_handle_id (&self->timer, g_source_remove);
  g_free (self->late);
  self->late = g_strdup (words);
  self->timer = g_timeout_add (milliseconds, on_late, self);
}

void
bl_meter_run_send (BlMeterRun *self, const char *line)
{
  GOutputStream *input;

  g_return_if_fail (self != NULL && line != NULL);
  if (self->end == NULL)
    return;
  input = g_subprocess_get_stdin_pipe (self->process);
  /* A line is far shorter than a pipe is deep; what can not be written is told by the end of the run. */
  if (g_output_stream_write_all (input, line, strlen (line), NULL, NULL, NULL))
    g_output_stream_write_all (input, "\n", 1, NULL, NULL, NULL);
}
