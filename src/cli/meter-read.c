/* SPDX-License-Identifier: GPL-3.0-or-later */
/* An open meter: its values as lines, its mode by commands.
 *
 * The library's session has the main loop. A thread waits for standard input, because a driver may block the
 * loop for ever: when the input ends the process is gone, whatever the library is doing. A mode is set
 * between two sessions, for drivers talk to the meter while one runs.
 *
 * Only the first analog channel is read, the main display of meters that have several. */
#include "config.h"

#include "meter.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include <glib/gi18n.h>

typedef struct
{
  struct sr_session *session;
  struct sr_dev_driver *driver;
  struct sr_dev_inst *device;
  const struct sr_channel *channel;
  gboolean stopping;
  BlMeterMode wanted; /* BL_METER_OTHER: as the meter is */
  gint64 last;        /* when a value was printed */
} Reader;

static Reader reader;

/* A driver of waveforms sends thousands of values; a screen has use for some twenty a second. */
#define CLOSEST (45 * (gint64) 1000)

static void
print_sample (const BlSample *sample)
{
  json_t *line = json_pack ("{s:I, s:s, s:i}", "t", (json_int_t) sample->time_us, "mode",
                            bl_meter_mode_name (sample->mode), "digits", sample->digits);

  if (sample->over)
    json_object_set_new (line, "over", json_integer (sample->value < 0 ? -1 : 1));
  else
    json_object_set_new (line, "value", json_real (sample->value));
  if (sample->held)
    json_object_set_new (line, "held", json_true ());
  if (sample->relative)
    json_object_set_new (line, "relative", json_true ());
  if (sample->unsettled)
    json_object_set_new (line, "unsettled", json_true ());
  meter_print (line);
}

static void
on_packet (const struct sr_dev_inst *device, const struct sr_datafeed_packet *packet, void *data)
{
  g_autoptr (GArray) values = NULL;
  BlSample sample = { .time_us = g_get_monotonic_time () };

  if (packet->type != SR_DF_ANALOG || sample.time_us - reader.last < CLOSEST)
    return;
  values = g_array_new (FALSE, FALSE, sizeof (BlSample));
  if (!meter_samples (packet->payload, reader.channel, &sample, values))
    return;
  reader.last = sample.time_us;
  print_sample (&g_array_index (values, BlSample, values->len - 1));
}

/* --- Commands --------------------------------------------------------------------------------- */

static gboolean
on_command (gpointer data)
{
  g_autofree char *line = g_strchomp (data);
  BlMeterMode mode;

  if (g_str_has_prefix (line, "mode ") && bl_meter_mode_parse (line + strlen ("mode "), &mode))
    {
      reader.wanted = mode;
      reader.stopping = reader.session != NULL;
      if (reader.stopping)
        sr_session_stop (reader.session);
    }
  return G_SOURCE_REMOVE;
}

static gpointer
wait_for_lines (gpointer data)
{
  char line[128];

  while (fgets (line, sizeof line, stdin) != NULL)
    g_main_context_invoke (NULL, on_command, g_strdup (line));
  _exit (0);
}

void
meter_wait_for_commands (void)
{
  g_thread_unref (g_thread_new ("commands", wait_for_lines, NULL));
}

/* --- The device ------------------------------------------------------------------------------- */

static void
choose_channel (void)
{
  for (GSList *at = sr_dev_inst_channels_get (reader.device); at != NULL; at = at->next)
    {
      struct sr_channel *channel = at->data;
      gboolean use = reader.channel == NULL && channel->type == SR_CHANNEL_ANALOG;

      if (use)
        reader.channel = channel;
      if (channel->enabled != use)
        sr_dev_channel_enable (channel, use);
    }
}

static gboolean
can (int key, int how)
{
  return (sr_dev_config_capabilities_list (reader.device, NULL, key) & how) != 0;
}

/* TRUE where the driver lists the quantity, or has no list. */
static gboolean
is_listed (GVariant *listed, guint32 quantity, guint64 flags)
{
  guint32 one;
  guint64 its_flags;

  if (listed == NULL || !g_variant_is_of_type (listed, G_VARIANT_TYPE ("a(ut)")))
    return TRUE;
  for (gsize i = 0; i < g_variant_n_children (listed); i++)
    {
      g_variant_get_child (listed, i, "(ut)", &one, &its_flags);
      if (one == quantity && its_flags == flags)
        return TRUE;
    }
  return FALSE;
}

/* The modes the meter can be told to measure. */
static json_t *
list_modes (void)
{
  json_t *list = json_array ();
  g_autoptr (GVariant) listed = NULL;
  guint32 quantity;
  guint64 flags;

  if (!can (SR_CONF_MEASURED_QUANTITY, SR_CONF_SET))
    return list;
  if (can (SR_CONF_MEASURED_QUANTITY, SR_CONF_LIST) &&
      sr_config_list (reader.driver, reader.device, NULL, SR_CONF_MEASURED_QUANTITY, &listed) != SR_OK)
    listed = NULL;
  for (int mode = BL_METER_OTHER + 1; mode < BL_N_METER_MODES; mode++)
    if (meter_quantity (mode, &quantity, &flags) && is_listed (listed, quantity, flags))
      json_array_append_new (list, json_string (bl_meter_mode_name (mode)));
  return list;
}

static void
set_mode (void)
{
  guint32 quantity;
  guint64 flags;

  if (reader.wanted == BL_METER_OTHER)
    return;
  if (!can (SR_CONF_MEASURED_QUANTITY, SR_CONF_SET) || !meter_quantity (reader.wanted, &quantity, &flags) ||
      sr_config_set (reader.device, NULL, SR_CONF_MEASURED_QUANTITY, g_variant_new ("(ut)", quantity, flags)) != SR_OK)
    meter_print (json_pack ("{s:s}", "refused", bl_meter_mode_name (reader.wanted)));
  reader.wanted = BL_METER_OTHER;
}

/* Waveform generators need a rate; meters have none. */
static void
set_rate (void)
{
  if (can (SR_CONF_SAMPLERATE, SR_CONF_SET))
    sr_config_set (reader.device, NULL, SR_CONF_SAMPLERATE, g_variant_new_uint64 (1000));
}

static int
run_session (void)
{
  int status = sr_session_start (reader.session);

  reader.stopping = FALSE;
  if (status == SR_OK)
    status = sr_session_run (reader.session);
  return status;
}

int
meter_read (struct sr_context *context, struct sr_dev_driver *driver, struct sr_dev_inst *device)
{
  int status;

  reader.driver = driver;
  reader.device = device;
  status = sr_dev_open (device);
  if (status == SR_OK)
    status = sr_session_new (context, &reader.session);
  if (status == SR_OK)
    status = sr_session_dev_add (reader.session, device);
  if (status != SR_OK)
    {
      meter_print_error (sr_strerror (status));
      return 1;
    }
  choose_channel ();
  if (reader.channel == NULL)
    {
      meter_print_error (_ ("the device has no analog channel"));
      return 1;
    }
  set_rate ();
  sr_session_datafeed_callback_add (reader.session, on_packet, NULL);
  meter_print (json_pack ("{s:o}", "modes", list_modes ()));
  do
    {
      set_mode ();
      status = run_session ();
    }
  while (status == SR_OK && reader.stopping);
  meter_print_error (status == SR_OK ? _ ("it stopped sending") : sr_strerror (status));
  return 1;
}
