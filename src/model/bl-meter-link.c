/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A meter kept open: searching, connected, lost, and again.
 *
 * Each try is one run of the helper. It has so long to find the meter and then so long between two values;
 * after that it is ended and started anew. A meter that dozes off between jobs comes back by itself. */
#include "config.h"

#include "bl-meter-link.h"

#include "bl-meter-run.h"

#include <string.h>

#include <glib/gi18n-lib.h>

struct _BlMeterLink
{
  GObject parent_instance;
  char *driver, *connection, *serialcomm;
  BlMeterState state;
  char *words, *name;
  BlMeterRun *run;
  guint retry;
  guint search, silence, again;
  guint64 modes; /* bit by BlMeterMode */
  BlMeterMode wanted;
};

G_DEFINE_FINAL_TYPE (BlMeterLink, bl_meter_link, G_TYPE_OBJECT)

enum
{
  SAMPLE,
  STATE,
  TROUBLE,
  N_SIGNALS
};

static guint signals[N_SIGNALS];

static void
set_state (BlMeterLink *self, BlMeterState state, const char *words)
{
  if (self->state == state && g_strcmp0 (self->words, words) == 0)
    return;
  self->state = state;
  g_free (self->words);
  self->words = g_strdup (words);
  g_signal_emit (self, signals[STATE], 0, (int) state, self->words);
}

static void
trouble (BlMeterLink *self, const char *words)
{
  g_signal_emit (self, signals[TROUBLE], 0, words);
}

/* --- Lines of the helper ---------------------------------------------------------------------- */

static void
watch (BlMeterLink *self)
{
  bl_meter_run_deadline (self->run, self->silence, _ ("it sends no values"));
}

static void
on_modes (BlMeterLink *self, json_t *list)
{
  size_t i;
  json_t *name;

  self->modes = 0;
  json_array_foreach (list, i, name)
    {
      BlMeterMode mode;

      if (json_is_string (name) && bl_meter_mode_parse (json_string_value (name), &mode))
        self->modes |= (guint64) 1 << mode;
    }
  if (self->wanted != BL_METER_OTHER)
    bl_meter_link_set_mode (self, self->wanted);
  watch (self);
}

/* FALSE where the line is no value. */
static gboolean
to_sample (json_t *line, BlSample *sample)
{
  json_t *value = json_object_get (line, "value"), *over = json_object_get (line, "over");
  const char *mode = json_string_value (json_object_get (line, "mode"));

  *sample = (BlSample){ .time_us = json_integer_value (json_object_get (line, "t")),
                        .digits = (int) CLAMP (json_integer_value (json_object_get (line, "digits")), -12, 15),
                        .held = json_is_true (json_object_get (line, "held")),
                        .relative = json_is_true (json_object_get (line, "relative")),
                        .unsettled = json_is_true (json_object_get (line, "unsettled")) };
  if (mode == NULL || !bl_meter_mode_parse (mode, &sample->mode)
      || (!json_is_number (value) && !json_is_integer (over)))
    return FALSE;
  sample->over = json_is_integer (over);
  sample->value = sample->over ? (double) json_integer_value (over) : json_number_value (value);
  return TRUE;
}

static void
on_sample (BlMeterLink *self, const BlSample *sample)
{
  g_autofree char *words = NULL;

  watch (self);
  if (self->state != BL_METER_CONNECTED)
    {
      words = g_strdup_printf (_ ("Connected: %s"), self->name != NULL ? self->name : self->driver);
      set_state (self, BL_METER_CONNECTED, words);
    }
  g_signal_emit (self, signals[SAMPLE], 0, sample);
}

static void
on_refused (BlMeterLink *self, const char *mode)
{
  g_autofree char *words = g_strdup_printf (_ ("The meter can not be set to %s from here: turn its switch."), mode);

  self->wanted = BL_METER_OTHER;
  trouble (self, words);
}

static void
on_line (json_t *line, gpointer data)
{
  g_autoptr (BlMeterLink) self = g_object_ref (data);
  const char *device = json_string_value (json_object_get (line, "device"));
  const char *refused = json_string_value (json_object_get (line, "refused"));
  json_t *modes = json_object_get (line, "modes");
  BlSample sample;

  if (device != NULL)
    {
      g_free (self->name);
      self->name = g_strdup (device);
    }
  else if (modes != NULL)
    on_modes (self, modes);
  else if (refused != NULL)
    on_refused (self, refused);
  else if (to_sample (line, &sample))
    on_sample (self, &sample);
  else
    trouble (self, _ ("The meter's driver sent something that is no value."));
}

/* --- Tries ------------------------------------------------------------------------------------ */

static void try_now (BlMeterLink *self);

static gboolean
on_retry (gpointer data)
{
  BlMeterLink *self = data;

  self->retry = 0;
  try_now (self);
  return G_SOURCE_REMOVE;
}

static void
on_end (const char *words, gpointer data)
{
  BlMeterLink *self = data;
  g_autofree char *sentence = NULL;

  g_clear_pointer (&self->run, bl_meter_run_free);
  sentence = g_strdup_printf (self->state == BL_METER_CONNECTED ? _ ("The meter was lost: %s. Trying again.")
                                                                : _ ("No meter: %s. Trying again."),
                              words != NULL ? words : _ ("the connection ended"));
  self->retry = g_timeout_add (self->again, on_retry, self);
  set_state (self, BL_METER_LOST, sentence);
}

static void
try_now (BlMeterLink *self)
{
  const char *arguments[] = { "read", self->driver, self->connection, self->serialcomm };
  g_autoptr (GError) error = NULL;

  g_clear_pointer (&self->name, g_free);
  self->modes = 0;
  self->run = bl_meter_run_new (arguments, G_N_ELEMENTS (arguments), on_line, on_end, self, &error);
  if (self->run == NULL)
    {
      set_state (self, BL_METER_LOST, error->message);
      return;
    }
  bl_meter_run_deadline (self->run, self->search, _ ("no answer in time"));
  set_state (self, BL_METER_SEARCHING, _ ("Looking for the meter"));
}

static void
drop (BlMeterLink *self)
{
  g_clear_handle_id (&self->retry, g_source_remove);
  g_clear_pointer (&self->run, bl_meter_run_free);
  g_clear_pointer (&self->driver, g_free);
  g_clear_pointer (&self->connection, g_free);
  g_clear_pointer (&self->serialcomm, g_free);
  g_clear_pointer (&self->name, g_free);
  self->modes = 0;
  self->wanted = BL_METER_OTHER;
}

/* --- The object ------------------------------------------------------------------------------- */

static void
bl_meter_link_finalize (GObject *object)
{
  BlMeterLink *self = BL_METER_LINK (object);

  drop (self);
  g_free (self->words);
  G_OBJECT_CLASS (bl_meter_link_parent_class)->finalize (object);
}

static void
bl_meter_link_class_init (BlMeterLinkClass *klass)
{
  GType type = G_TYPE_FROM_CLASS (klass);

  G_OBJECT_CLASS (klass)->finalize = bl_meter_link_finalize;
  signals[SAMPLE] =
    g_signal_new ("sample", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_POINTER);
  signals[STATE] =
    g_signal_new ("state", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 2, G_TYPE_INT, G_TYPE_STRING);
  signals[TROUBLE] =
    g_signal_new ("trouble", type, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1, G_TYPE_STRING);
}

static void
bl_meter_link_init (BlMeterLink *self)
{
  self->words = g_strdup (_ ("No meter"));
  bl_meter_link_set_times (self, 15000, 5000, 2000);
}

BlMeterLink *
bl_meter_link_new (void)
{
  return g_object_new (BL_TYPE_METER_LINK, NULL);
}

void
bl_meter_link_open (BlMeterLink *self, const char *driver, const char *connection, const char *serialcomm)
{
  g_autofree char *name = NULL, *where = NULL, *comm = NULL;

  g_return_if_fail (BL_IS_METER_LINK (self) && driver != NULL);
  /* They may be the ones held here. */
  name = g_strdup (driver);
  where = g_strdup (connection);
  comm = g_strdup (serialcomm);
  drop (self);
  self->driver = g_steal_pointer (&name);
  self->connection = g_steal_pointer (&where);
  self->serialcomm = g_steal_pointer (&comm);
  try_now (self);
}

void
bl_meter_link_close (BlMeterLink *self)
{
  g_return_if_fail (BL_IS_METER_LINK (self));
  drop (self);
  set_state (self, BL_METER_CLOSED, _ ("No meter"));
}

BlMeterState
bl_meter_link_get_state (BlMeterLink *self)
{
  g_return_val_if_fail (BL_IS_METER_LINK (self), BL_METER_CLOSED);
  return self->state;
}

const char *
bl_meter_link_get_words (BlMeterLink *self)
{
  g_return_val_if_fail (BL_IS_METER_LINK (self), NULL);
  return self->words;
}

const char *
bl_meter_link_get_name (BlMeterLink *self)
{
  g_return_val_if_fail (BL_IS_METER_LINK (self), NULL);
  return self->name;
}

gboolean
bl_meter_link_can_set_mode (BlMeterLink *self, BlMeterMode mode)
{
  g_return_val_if_fail (BL_IS_METER_LINK (self) && (guint) mode < BL_N_METER_MODES, FALSE);
  return (self->modes >> mode & 1) != 0;
}

void
bl_meter_link_set_mode (BlMeterLink *self, BlMeterMode mode)
{
  g_autofree char *line = NULL;

  g_return_if_fail (BL_IS_METER_LINK (self) && (guint) mode < BL_N_METER_MODES);
  self->wanted = mode;
  if (self->run == NULL || !bl_meter_link_can_set_mode (self, mode))
    return;
  line = g_strdup_printf ("mode %s", bl_meter_mode_name (mode));
  bl_meter_run_send (self->run, line);
}

void
bl_meter_link_set_times (BlMeterLink *self, guint search, guint silence, guint again)
{
  g_return_if_fail (BL_IS_METER_LINK (self));
  if (search != 0)
    self->search = search;
  if (silence != 0)
    self->silence = silence;
  if (again != 0)
    self->again = again;
}
