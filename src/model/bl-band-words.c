/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Where a band comes from, short for a row and whole for a tooltip or the paper. The source is the document's own
 * text; all that is done to it is to end the short form at the first comma or at a whole word. */
#include "config.h"

#include "bl-band-words.h"

#include "bl-format.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#define MOST_SHORT 30

/* The beginning of a source: up to a comma or bracket, and whole words of what is too long. (transfer full) */
static char *
beginning (const char *source)
{
  static const char no_source[] = "common practice, no source";
  gsize end = strcspn (source, ",;(");

  if (strstr (source, no_source) != NULL)
    return g_strdup (_ (no_source));
  /* "provisional" is the most that can be said of a band from one board, wherever it stands. */
  if (strstr (source, "provisional") != NULL)
    return g_strdup (_ ("provisional: one board read once"));
  g_autofree char *text = g_strchomp (g_strndup (source, end));
  if (g_utf8_strlen (text, -1) <= MOST_SHORT)
    return g_steal_pointer (&text);
  char *cut = g_utf8_offset_to_pointer (text, MOST_SHORT), *space = cut;
  while (space > text && *space != ' ')
    space--;
  g_autofree char *words = g_strndup (text, (gsize) ((space > text ? space : cut) - text));
  return g_strconcat (words, " …", NULL);
}

static const char *
said_source (const BlMeasurement *measurement)
{
  const char *source = measurement->expected.source;
  return source != NULL && *source != '\0' ? source : NULL;
}

char *
bl_band_from_short (const BlMeasurement *measurement, const BlBand *band, double followed)
{
  g_return_val_if_fail (measurement != NULL, NULL);
  const BlFollows *follows = measurement->expected.follows;

  if (follows != NULL && band != NULL && band->follows)
    {
      g_autofree char *value = bl_quantity_format (followed, NULL, 4);
      return isfinite (followed) ? g_strdup_printf (_ ("follows %s (%s)"), follows->measurement, value)
                                 : g_strdup_printf (_ ("follows %s"), follows->measurement);
    }
  if (follows != NULL)
    return g_strdup_printf (_ ("read %s first"), follows->measurement);
  if (!measurement->has_expected)
    return g_strdup ("");
  return said_source (measurement) != NULL ? beginning (said_source (measurement)) : g_strdup (_ ("source not said"));
}

/* "supply at the terminals, 218 V AC", or less where less is known. (transfer full) */
static char *
followed_words (const BlBoard *board, const BlFollows *follows, double followed)
{
  const BlMeasurement *other = bl_board_measurement (board, follows->measurement);
  const char *title = other != NULL && other->title != NULL ? other->title : "";
  g_autofree char *unit = other != NULL ? bl_format_unit (other->measures) : g_strdup ("");

  if (!isfinite (followed) || other == NULL)
    return g_strdup (title);
  g_autofree char *value = bl_format_value (other->measures, followed);
  return g_strdup_printf ("%s%s%s %s", title, *title != '\0' ? ", " : "", value, unit);
}

char *
bl_band_from_long (const BlBoard *board, const BlMeasurement *measurement, const BlBand *band, double followed)
{
  g_return_val_if_fail (board != NULL && measurement != NULL, NULL);
  const BlFollows *follows = measurement->expected.follows;
  const char *source = said_source (measurement);

  if (follows == NULL)
    return !measurement->has_expected ? g_strdup ("") : g_strdup (source != NULL ? source : _ ("source not said"));
  g_autofree char *other = followed_words (board, follows, followed);
  g_autofree char *unit = bl_format_unit (measurement->measures);
  g_autofree char *limits = band != NULL ? bl_format_band (band) : NULL;
  source = source != NULL ? source : _ ("source of the line not said");
  if (band != NULL && band->follows)
    return g_strdup_printf (_ ("follows %s (%s): %s %s. %s"), follows->measurement, other, limits, unit, source);
  if (band != NULL)
    return g_strdup_printf (_ ("follows %s (%s), which was not read: %s %s until then. %s"), follows->measurement,
                            other, limits, unit, source);
  return g_strdup_printf (_ ("follows %s (%s), which was not read: no limits until then. %s"), follows->measurement,
                          other, source);
}

char *
bl_band_from_kept (const BlBand *band)
{
  if (band == NULL)
    return g_strdup ("");
  const char *source = band->source != NULL && *band->source != '\0' ? band->source : NULL;
  g_autofree char *short_form = source != NULL ? beginning (source) : g_strdup (_ ("source not said"));

  if (band->follows && band->followed != NULL)
    return g_strdup_printf (_ ("follows %s, %s"), band->followed, short_form);
  return g_steal_pointer (&short_form);
}
