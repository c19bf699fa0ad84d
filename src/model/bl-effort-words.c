/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Time in words, the same wherever work is reckoned: what somebody gave away is to be seen as a share of what it took, so
 * below ten minutes nothing is rounded but to whole seconds. Above that nobody plans by the second. What is only
 * expected is rounded further: seconds after "about" would promise what nobody computed. */
#include "config.h"

#include "bl-effort-words.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#define EXACT_BELOW 600 /* s */
#define MOST 3.6e8      /* s; what is longer is no time of work */

char *
bl_effort_words (double seconds)
{
  if (!isfinite (seconds) || fabs (seconds) > MOST)
    return g_strdup ("–");
  guint all = (guint) MAX (round (seconds), 0), minutes = (all + 30) / 60;

  if (all < 60)
    return g_strdup_printf (_ ("%u s"), all);
  if (all < EXACT_BELOW)
    return all % 60 == 0 ? g_strdup_printf (_ ("%u min"), all / 60)
                         /* Translators: minutes and seconds */
                         : g_strdup_printf (_ ("%u min %u s"), all / 60, all % 60);
  if (minutes < 60)
    return g_strdup_printf (_ ("%u min"), minutes);
  return minutes % 60 == 0 ? g_strdup_printf (_ ("%u h"), minutes / 60)
                           /* Translators: hours and minutes */
                           : g_strdup_printf (_ ("%u h %u min"), minutes / 60, minutes % 60);
}

char *
bl_effort_words_about (double seconds)
{
  double all = isfinite (seconds) ? MAX (seconds, 0) : seconds;

  /* What takes any time is not told as none. */
  if (all < 57.5)
    all = all > 0 ? MAX (5 * round (all / 5), 5) : 0;
  else if (all < EXACT_BELOW)
    all = 30 * round (all / 30);
  return bl_effort_words (all);
}
