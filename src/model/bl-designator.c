/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Reference designators as they are printed on boards.
 *
 * Which letter means what is common practice, no source: letters differ between countries and makers (a
 * crystal is Y, X, Q or XTAL), so what the board itself says of the same letters goes before this table,
 * and the kind can always be changed. Kinds are those of the table of priors, in their general form
 * where the letter says no more. A few hundred components: everything is looked through.
 */
#include "config.h"

#include "bl-designator.h"

#include <string.h>

/* Common practice, no source. */
static const struct
{
  const char *letters, *kind;
} practice[] = {
  { "BD", "diode.bridge" },
  { "BR", "diode.bridge" },
  { "C", "capacitor.ceramic" },
  { "CN", "connector" },
  { "CON", "connector" },
  { "CR", "diode" },
  { "CX", "capacitor.film" },
  { "CY", "capacitor.ceramic" },
  { "D", "diode" },
  { "DB", "diode.bridge" },
  { "DS", "lamp" },
  { "DZ", "diode.zener" },
  { "E", "terminal" },
  { "EC", "capacitor.electrolytic" },
  { "F", "fuse" },
  { "FB", "ferrite" },
  { "FU", "fuse" },
  { "IC", "ic" },
  { "J", "connector" },
  { "JP", "connector" },
  { "K", "relay" },
  { "L", "coil" },
  { "LD", "led" },
  { "LED", "led" },
  { "MOV", "varistor" },
  { "NTC", "thermistor" },
  { "OC", "optocoupler" },
  { "OK", "optocoupler" },
  { "P", "connector" },
  { "PC", "optocoupler" },
  { "PTC", "thermistor" },
  { "Q", "transistor" },
  { "R", "resistor" },
  { "RA", "resistor.network" },
  { "REL", "relay" },
  { "RL", "relay" },
  { "RLY", "relay" },
  { "RN", "resistor.network" },
  { "RT", "thermistor" },
  { "RV", "varistor" },
  { "RY", "relay" },
  { "S", "switch" },
  { "SA", "varistor" },
  { "SCR", "thyristor.scr" },
  { "SW", "switch" },
  { "T", "transformer" },
  { "TB", "terminal" },
  { "TH", "thermistor" },
  { "TR", "transformer" },
  { "TVS", "diode.suppressor" },
  { "U", "ic" },
  { "V", "transistor" },
  { "VAR", "varistor" },
  { "VD", "diode" },
  { "VDR", "varistor" },
  { "VR", "resistor.variable" },
  { "VT", "transistor" },
  { "X", "connector" },
  { "XTAL", "crystal" },
  { "Y", "crystal" },
  { "ZD", "diode.zener" },
  { "ZNR", "varistor" },
};

gsize
bl_designator_letters (const char *id)
{
  gsize n = 0;

  g_return_val_if_fail (id != NULL, 0);
  while (g_ascii_isalpha (id[n]))
    n++;
  return n;
}

const char *
bl_designator_kind (const char *id)
{
  g_return_val_if_fail (id != NULL, NULL);
  gsize n = bl_designator_letters (id);

  for (guint i = 0; n > 0 && i < G_N_ELEMENTS (practice); i++)
    if (strlen (practice[i].letters) == n && g_ascii_strncasecmp (practice[i].letters, id, n) == 0)
      return practice[i].kind;
  return NULL;
}

static guint64
number_of (const char *id)
{
  return g_ascii_strtoull (id + bl_designator_letters (id), NULL, 10);
}

char *
bl_designator_guess_kind (const BlBoard *board, const char *id, const char *otherwise)
{
  g_return_val_if_fail (board != NULL && id != NULL, NULL);
  gsize letters = bl_designator_letters (id);
  guint64 number = number_of (id);
  const BlComponent *before = NULL, *after = NULL;

  for (guint i = 0; letters > 0 && i < bl_len (board->components); i++)
    {
      const BlComponent *other = bl_at (board->components, i);
      if (other->kind == NULL || bl_designator_letters (other->id) != letters
          || g_ascii_strncasecmp (other->id, id, letters) != 0)
        continue;
      guint64 theirs = number_of (other->id);
      if (theirs <= number && (before == NULL || theirs >= number_of (before->id)))
        before = other;
      if (theirs > number && (after == NULL || theirs < number_of (after->id)))
        after = other;
    }
  if (before != NULL || after != NULL)
    return g_strdup (before != NULL ? before->kind : after->kind);
  return g_strdup (bl_designator_kind (id) != NULL ? bl_designator_kind (id) : otherwise);
}

/* --- counting on --- */

char *
bl_designator_next (const char *id)
{
  g_return_val_if_fail (id != NULL, NULL);
  gsize end = strlen (id), start;

  while (end > 0 && !g_ascii_isdigit (id[end - 1]))
    end--;
  if (end == 0) /* no number yet */
    return g_strdup_printf ("%s1", id);
  for (start = end; start > 0 && g_ascii_isdigit (id[start - 1]);)
    start--;
  g_autofree char *digits = g_strndup (id + start, end - start);
  /* Nobody counts beyond eighteen digits; one more would not fit the number. */
  if (end - start > 18)
    return g_strdup_printf ("%s-1", id);
  return g_strdup_printf ("%.*s%0*" G_GUINT64_FORMAT, (int) start, id, (int) (end - start),
                          g_ascii_strtoull (digits, NULL, 10) + 1);
}

char *
bl_designator_free (const char *id, GHashTable *taken)
{
  g_return_val_if_fail (id != NULL && taken != NULL, NULL);
  g_autofree char *now = g_strdup (id);

  while (bl_designator_set_has (taken, now))
    {
      char *next = bl_designator_next (now);
      g_free (now);
      now = next;
    }
  return g_steal_pointer (&now);
}

GHashTable *
bl_designator_set_new (void)
{
  return g_hash_table_new_full (g_str_hash, g_str_equal, g_free, NULL);
}

void
bl_designator_set_add (GHashTable *set, const char *id)
{
  g_return_if_fail (set != NULL && id != NULL);
  g_hash_table_add (set, g_utf8_casefold (id, -1));
}

gboolean
bl_designator_set_has (GHashTable *set, const char *id)
{
  g_return_val_if_fail (set != NULL && id != NULL, FALSE);
  g_autofree char *folded = g_utf8_casefold (id, -1);

  return g_hash_table_contains (set, folded);
}

/* --- order --- */

int
bl_designator_compare (const char *a, const char *b)
{
  g_return_val_if_fail (a != NULL && b != NULL, 0);

  while (*a != '\0' && *b != '\0')
    {
      if (g_ascii_isdigit (*a) && g_ascii_isdigit (*b))
        {
          char *end_a, *end_b;
          guint64 number_a = g_ascii_strtoull (a, &end_a, 10), number_b = g_ascii_strtoull (b, &end_b, 10);
          if (number_a != number_b)
            return number_a < number_b ? -1 : 1;
          a = end_a;
          b = end_b;
          continue;
        }
      int first = g_ascii_tolower (*a), second = g_ascii_tolower (*b);
      if (first != second)
        return first < second ? -1 : 1;
      a++;
      b++;
    }
  return (*a != '\0') - (*b != '\0');
}
