/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Words of the report: names from the document, classes and verdicts, and for the customer the same in words that need
 * no training. The plain words are our own; a kind or mode without one keeps the document's. */
#include "config.h"

#include "bl-report-words.h"

#include "bl-places.h"
#include "bl-report.h"

#include <glib/gi18n-lib.h>
#include <locale.h>
#include <string.h>

char *
bl_report_odds (double probability)
{
  if (!(probability >= 0.005))
    return g_strdup (_ ("<1 %"));
  if (probability > 0.995)
    return g_strdup (_ (">99 %"));
  return g_strdup_printf (_ ("%.0f %%"), probability * 100);
}

const char *
bl_report_class_word (const char *class_name)
{
  static const char *const words[] = { N_ ("absent"),     N_ ("low"),       N_ ("in band"),
                                       N_ ("high"),       N_ ("unsteady"),  N_ ("shorted"),
                                       N_ ("open"),       N_ ("still low"), N_ ("still middle"),
                                       N_ ("still high"), N_ ("beyond"),    N_ ("as expected"),
                                       N_ ("deviates") };

  for (guint i = 0; i < G_N_ELEMENTS (words); i++)
    if (g_str_equal (words[i], class_name))
      return _ (words[i]);
  return class_name; /* a mark's own name */
}

char *
bl_report_verdict_word (const BlBand *band, const BlVerdict *verdict)
{
  if (verdict == NULL)
    return g_strdup (_ ("not judged"));
  if (verdict->not_reached)
    return g_strdup (_ ("not reached"));
  if (verdict->reversed)
    return g_strdup (_ ("leads swapped?"));
  if (band == NULL || !verdict->evidence || verdict->n == 0)
    return g_strdup (_ ("not judged"));
  if (!verdict->certain)
    return g_strdup_printf (_ ("too close to call: %s or %s"),
                            bl_report_class_word (verdict->classes[verdict->best]),
                            bl_report_class_word (verdict->classes[verdict->second]));
  return g_strdup (bl_report_class_word (verdict->classes[verdict->best]));
}

static char *
format_time (gint64 time, const char *format)
{
  g_autoptr (GDateTime) utc = g_date_time_new_from_unix_utc (time / G_USEC_PER_SEC);
  g_autoptr (GDateTime) local = utc != NULL ? g_date_time_to_local (utc) : NULL;

  return local != NULL ? g_date_time_format (local, format) : g_strdup ("");
}

char *
bl_report_time (gint64 time)
{
  return format_time (time, "%Y-%m-%d %H:%M");
}

char *
bl_report_day (gint64 time)
{
  return format_time (time, _ ("%-d %B %Y"));
}

const char *
bl_report_short_id (const char *id)
{
  const char *slash = id != NULL ? strchr (id, '/') : NULL;

  return slash != NULL && !g_str_equal (slash, "/other") ? slash + 1 : id;
}

char *
bl_report_stage_name (const BlBoard *board, const char *stage)
{
  const BlStage *found = board != NULL && stage != NULL ? bl_board_stage (board, stage) : NULL;

  return g_strdup (found != NULL && found->title != NULL ? found->title : stage);
}

char *
bl_report_component_name (const BlBoard *board, const char *component)
{
  const BlComponent *found = board != NULL ? bl_board_component (board, component) : NULL;

  if (found == NULL && g_str_has_suffix (component, "/other"))
    {
      g_autofree char *stage = g_strndup (component, strlen (component) - strlen ("/other"));
      g_autofree char *name = bl_report_stage_name (board, stage);
      return g_strdup_printf (_ ("something else in %s"), name);
    }
  if (found == NULL)
    return g_strdup (component);
  if (found->title != NULL)
    return g_strdup_printf ("%s %s", component, found->title);
  return found->value != NULL ? g_strdup_printf ("%s %s", component, found->value)
                              : g_strdup (component);
}

char *
bl_report_state_name (const BlBoard *board, const char *state)
{
  const BlState *found = board != NULL && state != NULL ? bl_board_state (board, state) : NULL;

  return g_strdup (found != NULL && found->title != NULL ? found->title : state != NULL ? state : "");
}

char *
bl_report_typed (const char *text)
{
  const struct lconv *locale = localeconv ();
  GString *out = g_string_new (NULL);

  if (text == NULL || g_str_equal (locale->decimal_point, "."))
    {
      g_string_append (out, text != NULL ? text : "");
      return g_string_free (out, FALSE);
    }
  for (const char *at = text; *at != '\0'; at++)
    if (*at == '.' && at > text && g_ascii_isdigit (at[-1]) && g_ascii_isdigit (at[1]))
      g_string_append (out, locale->decimal_point);
    else
      g_string_append_c (out, *at);
  return g_string_free (out, FALSE);
}

/* text with the unit of band behind it, where it ends in a figure, or in a figure with a prefix. (transfer full) */
static char *
with_unit (const char *text, const BlBand *band)
{
  const char *unit = band != NULL ? bl_measures_unit (band->measures) : NULL, *shown, *last, *figure;

  if (unit == NULL || text[0] == '\0')
    return g_strdup (text);
  shown = g_str_equal (unit, "ohm") ? "Ω" : g_str_equal (unit, "degC") ? "°C" : unit;
  last = g_utf8_prev_char (text + strlen (text));
  if (g_ascii_isdigit (*last))
    return g_strdup_printf ("%s %s", text, shown);
  figure = last;
  while (figure > text && figure[-1] == ' ')
    figure--;
  if (figure == text || !g_ascii_isdigit (figure[-1]) || g_utf8_strchr ("kMGmuµnp", -1, g_utf8_get_char (last)) == NULL)
    return g_strdup (text);
  return g_strdup_printf ("%.*s %s%s", (int) (figure - text), text, last, shown);
}

char *
bl_report_expected (const BlReportLine *line)
{
  g_autofree char *typed = bl_report_typed (line->expected);

  if (line->band != NULL && line->band->measures == BL_MEASURES_CHECK)
    return g_strdup (line->band->answer ? _ ("yes") : _ ("no"));
  return with_unit (typed, line->band);
}

char *
bl_report_reading (const BlReportLine *line)
{
  const char *text = line->text != NULL ? line->text : "";
  g_autofree char *typed = bl_report_typed (text);

  if (line->band != NULL && line->band->measures == BL_MEASURES_CHECK)
    return g_strdup (g_ascii_strcasecmp (text, "yes") == 0  ? _ ("yes")
                     : g_ascii_strcasecmp (text, "no") == 0 ? _ ("no")
                                                            : text);
  return with_unit (typed, line->band);
}

char *
bl_report_isolate (const char *text)
{
  for (const char *at = text; at != NULL && *at != '\0'; at = g_utf8_next_char (at))
    {
      GUnicodeScript script = g_unichar_get_script (g_utf8_get_char (at));
      if (script == G_UNICODE_SCRIPT_ARABIC || script == G_UNICODE_SCRIPT_HEBREW || script == G_UNICODE_SCRIPT_SYRIAC
          || script == G_UNICODE_SCRIPT_THAANA || script == G_UNICODE_SCRIPT_NKO)
        return g_strdup_printf ("\u2068%s\u2069", text);
    }
  return g_strdup (text != NULL ? text : "");
}

/* --- plain words --- */

typedef struct
{
  const char *name, *words;
} Plain;

/* The row with the longest name that is name, or begins it up to a dot. */
static const char *
find_plain (const Plain *rows, guint n, const char *name)
{
  gsize best = 0;
  const char *words = NULL;

  for (guint i = 0; name != NULL && i < n; i++)
    {
      gsize length = strlen (rows[i].name);
      if (length > best && strncmp (rows[i].name, name, length) == 0 && (name[length] == '\0' || name[length] == '.'))
        {
          best = length;
          words = rows[i].words;
        }
    }
  return words != NULL ? _ (words) : NULL;
}

const char *
bl_report_plain_kind (const char *kind)
{
  static const Plain rows[] = {
    { "cable", N_ ("a cable") },
    { "capacitor", N_ ("a capacitor, which stores charge") },
    { "choke", N_ ("a coil") },
    { "coil", N_ ("a coil") },
    { "conductor", N_ ("a conductor between the boxes") },
    { "connector", N_ ("a connector") },
    { "crystal", N_ ("the part that sets the clock") },
    { "diode", N_ ("a diode, which lets current through one way only") },
    { "diode.bridge", N_ ("a rectifier, which makes direct current from mains") },
    { "diode.suppressor", N_ ("a protection part against surges") },
    { "fuse", N_ ("a fuse") },
    { "ic", N_ ("a chip") },
    { "ic.linear", N_ ("a chip that holds a voltage steady") },
    { "ic.micro", N_ ("the small computer of the board") },
    { "ic.regulator", N_ ("a chip that holds a voltage steady") },
    { "lamp", N_ ("a lamp") },
    { "led", N_ ("a lamp") },
    { "optocoupler", N_ ("a part that hands on a signal by light") },
    { "relay", N_ ("a relay, a switch that the board works") },
    { "resistor", N_ ("a resistor") },
    { "resonator", N_ ("the part that sets the clock") },
    { "solder", N_ ("a solder joint") },
    { "suppressor", N_ ("a protection part against surges") },
    { "switch", N_ ("a switch") },
    { "terminal", N_ ("a terminal") },
    { "thermistor", N_ ("a resistor that changes with heat") },
    { "thyristor", N_ ("an electronic switch") },
    { "track", N_ ("a copper track of the board") },
    { "transformer", N_ ("a transformer") },
    { "transistor", N_ ("a transistor, an electronic switch") },
    { "triac", N_ ("an electronic switch") },
    { "varistor", N_ ("a protection part against surges") },
    { "wiring", N_ ("wiring") },
  };

  return find_plain (rows, G_N_ELEMENTS (rows), kind);
}

const char *
bl_report_plain_section (const char *kind)
{
  static const Plain rows[] = {
    { "communication", N_ ("lets the two boxes talk to each other") },
    { "controller", N_ ("decides what the unit does") },
    { "drive", N_ ("drives the motor") },
    { "indicator", N_ ("shows by lamps what the unit does") },
    { "relay", N_ ("switches power on and off") },
    { "sensor", N_ ("takes in temperatures and the like") },
    { "supply", N_ ("makes the voltages that the board works with") },
  };

  return find_plain (rows, G_N_ELEMENTS (rows), kind);
}

const char *
bl_report_plain_mode (const char *mode)
{
  static const Plain rows[] = {
    { "drift", N_ ("its value has changed") },
    { "leakage", N_ ("it lets current through where it should not") },
    { "leaky", N_ ("it lets current through where it should not") },
    { "open", N_ ("it is broken inside and no longer conducts") },
    { "poor contact", N_ ("it makes contact only now and then") },
    { "short", N_ ("it has a short circuit inside") },
    { "shorted", N_ ("it has a short circuit inside") },
  };

  return find_plain (rows, G_N_ELEMENTS (rows), mode);
}
