/* SPDX-License-Identifier: GPL-3.0-or-later */
/* benchlore-meter: reads a meter for the program, in a process that can be ended.
 *
 * Drivers of meters block for ever on a peer that accepts and stays silent, and may crash; as a process of
 * its own none of it touches the technician's work. It is no command for people: its language are lines of
 * JSON on standard output.
 *
 *   benchlore-meter drivers                          {"driver", "title", "connection", "serialcomm"} each
 *   benchlore-meter scan DRIVER [CONNECTION [COMM]]  {"device"} each
 *   benchlore-meter read DRIVER [CONNECTION [COMM]]  {"device"}, {"modes"}, then {"t", "value" or "over",
 *                                                    "mode", "digits", ...} each; "mode NAME" on standard
 *                                                    input sets a mode, its end ends the process
 * {"error": WORDS} is the last line where it failed. "" stands for an argument left out. scan and read end with
 * standard input. */
#include "config.h"

#include "meter.h"

#include <locale.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include <glib/gi18n.h>

/* The library's last complaint, one line. */
static char complaint[256];

static int
on_log (void *data, int level, const char *format, va_list args)
{
  if (level == SR_LOG_ERR)
    vsnprintf (complaint, sizeof complaint, format, args);
  return 0;
}

void
meter_print (json_t *object)
{
  json_dumpf (object, stdout, JSON_COMPACT | JSON_REAL_PRECISION (12));
  putchar ('\n');
  /* The parent is gone: nothing is left to do. */
  if (fflush (stdout) != 0)
    _exit (0);
  json_decref (object);
}

void
meter_print_error (const char *words)
{
  g_autofree char *valid = g_utf8_make_valid (complaint, -1);

  meter_print (json_pack ("{s:s, s:s}", "error", words, "said", g_strchomp (valid)));
}

/* A peer that hung up: drivers do not look for that and go on asking it. The line is made beforehand, for a handler
 * may do little. */
static char *hung_up;

static void
on_broken_pipe (int number)
{
  if (write (STDOUT_FILENO, hung_up, strlen (hung_up)) < 0)
    _exit (2);
  _exit (1);
}

static void
watch_pipes (void)
{
  json_t *line = json_pack ("{s:s}", "error", _ ("the other side hung up"));
  char *text = json_dumps (line, JSON_COMPACT);

  hung_up = g_strconcat (text, "\n", NULL);
  free (text);
  json_decref (line);
  signal (SIGPIPE, on_broken_pipe);
}

/* --- Drivers ---------------------------------------------------------------------------------- */

static gboolean
has_key (GArray *keys, guint32 key)
{
  for (guint i = 0; keys != NULL && i < keys->len; i++)
    if ((g_array_index (keys, guint32, i) & ~(guint32) (SR_CONF_GET | SR_CONF_SET | SR_CONF_LIST)) == key)
      return TRUE;
  return FALSE;
}

static void
print_driver (struct sr_context *context, struct sr_dev_driver *driver)
{
  g_autoptr (GArray) kinds = NULL;
  g_autoptr (GArray) options = NULL;

  if (sr_driver_init (context, driver) != SR_OK)
    return;
  kinds = sr_dev_options (driver, NULL, NULL);
  if (!has_key (kinds, SR_CONF_MULTIMETER) && !has_key (kinds, SR_CONF_LCRMETER) && !has_key (kinds, SR_CONF_DEMO_DEV))
    return;
  options = sr_driver_scan_options_list (driver);
  meter_print (json_pack ("{s:s, s:s, s:b, s:b}", "driver", driver->name, "title", driver->longname, "connection",
                          has_key (options, SR_CONF_CONN), "serialcomm", has_key (options, SR_CONF_SERIALCOMM)));
}

static int
print_drivers (struct sr_context *context)
{
  struct sr_dev_driver **list = sr_driver_list (context);

  for (guint i = 0; list != NULL && list[i] != NULL; i++)
    print_driver (context, list[i]);
  return 0;
}

static struct sr_dev_driver *
find_driver (struct sr_context *context, const char *name)
{
  struct sr_dev_driver **list = sr_driver_list (context);

  for (guint i = 0; list != NULL && list[i] != NULL; i++)
    if (strcmp (list[i]->name, name) == 0)
      return sr_driver_init (context, list[i]) == SR_OK ? list[i] : NULL;
  return NULL;
}

/* --- Devices ---------------------------------------------------------------------------------- */

static GSList *
scan (struct sr_dev_driver *driver, const char *connection, const char *serialcomm)
{
  struct sr_config options[2] = { { SR_CONF_CONN, NULL }, { SR_CONF_SERIALCOMM, NULL } };
  const char *texts[2] = { connection, serialcomm };
  GSList *list = NULL, *found;

  for (guint i = 0; i < 2; i++)
    if (texts[i] != NULL && *texts[i] != '\0')
      {
        options[i].data = g_variant_ref_sink (g_variant_new_string (texts[i]));
        list = g_slist_append (list, &options[i]);
      }
  found = sr_driver_scan (driver, list);
  g_slist_free (list);
  for (guint i = 0; i < 2; i++)
    if (options[i].data != NULL)
      g_variant_unref (options[i].data);
  return found;
}

static void
print_device (const struct sr_dev_inst *device)
{
  const char *parts[] = { sr_dev_inst_vendor_get (device), sr_dev_inst_model_get (device),
                          sr_dev_inst_version_get (device) };
  g_autoptr (GString) name = g_string_new (NULL);
  g_autofree char *valid = NULL;

  for (guint i = 0; i < G_N_ELEMENTS (parts); i++)
    if (parts[i] != NULL && *parts[i] != '\0')
      g_string_append_printf (name, "%s%s", name->len > 0 ? " " : "", parts[i]);
  valid = g_utf8_make_valid (name->str, (gssize) name->len);
  meter_print (json_pack ("{s:s}", "device", valid));
}

static int
with_driver (struct sr_context *context, gboolean read, int argc, char **argv)
{
  struct sr_dev_driver *driver = find_driver (context, argv[2]);
  GSList *devices;
  int status = 0;

  if (driver == NULL)
    {
      meter_print_error (_ ("there is no such driver"));
      return 1;
    }
  meter_wait_for_commands ();
  devices = scan (driver, argc > 3 ? argv[3] : NULL, argc > 4 ? argv[4] : NULL);
  for (GSList *at = devices; at != NULL && (!read || at == devices); at = at->next)
    print_device (at->data);
  /* Nothing found is a fair answer of a scan, but for a port that could not be opened. */
  if (devices == NULL && (read || *complaint != '\0'))
    {
      meter_print_error (_ ("nothing found"));
      status = 1;
    }
  else if (read)
    status = meter_read (context, driver, devices->data);
  g_slist_free (devices);
  return status;
}

int
main (int argc, char **argv)
{
  struct sr_context *context = NULL;
  gboolean read = argc > 2 && strcmp (argv[1], "read") == 0;
  int status = 2;

  setlocale (LC_ALL, "");
  setlocale (LC_NUMERIC, "C");
  bindtextdomain (GETTEXT_PACKAGE, BL_LOCALE_DIR);
  bind_textdomain_codeset (GETTEXT_PACKAGE, "UTF-8");
  textdomain (GETTEXT_PACKAGE);
  watch_pipes ();
  sr_log_loglevel_set (SR_LOG_ERR);
  sr_log_callback_set (on_log, NULL);
  if (sr_init (&context) != SR_OK)
    {
      meter_print_error (_ ("the meter library could not be started"));
      return 1;
    }
  if (argc == 2 && strcmp (argv[1], "drivers") == 0)
    status = print_drivers (context);
  else if (read || (argc > 2 && strcmp (argv[1], "scan") == 0))
    status = with_driver (context, read, argc, argv);
  else
    fputs ("usage: benchlore-meter drivers | scan DRIVER [CONNECTION [COMM]] | read DRIVER [CONNECTION [COMM]]\n",
           stderr);
  sr_exit (context);
  return status;
}
