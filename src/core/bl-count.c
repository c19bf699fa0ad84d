/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Exact whole numbers for counting cut sets: addition, multiplication, decimal digits.
 *
 * The counts of published plant models pass 10^10 and grow as a product over independent parts, so
 * no machine integer is safe. Millions of them are held at once in one flat array of equal width,
 * hence arithmetic on bare limbs; a few limbs are usual, a hundred are fine. No signs, no division
 * but by the base of the printed groups.
 */
#include "config.h"

#include "bl-count.h"

#include <math.h>
#include <string.h>

static const guint32 GROUP = 1000000000u; /* nine digits at a time */

void
bl_count_clear (BlCount *count)
{
  g_clear_pointer (&count->limbs, g_free);
  count->n = 0;
}

void
bl_count_set (BlCount *count, const guint32 *limbs, guint width)
{
  bl_count_clear (count);
  while (width > 0 && limbs[width - 1] == 0)
    width--;
  count->limbs = g_memdup2 (limbs, (gsize) width * sizeof *limbs);
  count->n = width;
}

double
bl_count_bits (const BlCount *count)
{
  if (count->n == 0)
    return -INFINITY;
  double high = count->limbs[count->n - 1];
  guint used = 1;
  for (; used < 3 && used < count->n; used++)
    high = high * 4294967296.0 + count->limbs[count->n - 1 - used];
  return log2 (high) + 32.0 * (count->n - used);
}

void
bl_limbs_add (guint32 *sum, const guint32 *more, guint width)
{
  guint64 carry = 0;
  for (guint i = 0; i < width; i++)
    {
      carry += (guint64) sum[i] + more[i];
      sum[i] = (guint32) carry;
      carry >>= 32;
    }
}

void
bl_limbs_add_product (guint32 *sum, const guint32 *with, guint width, const BlCount *factor)
{
  static const guint32 one = 1;
  const guint32 *limbs = factor != NULL ? factor->limbs : &one;
  guint n = factor != NULL ? factor->n : 1;
  for (guint i = 0; i < n && i < width; i++)
    {
      guint64 carry = 0;
      for (guint j = 0; i + j < width; j++)
        {
          carry += (guint64) limbs[i] * with[j] + sum[i + j];
          sum[i + j] = (guint32) carry;
          carry >>= 32;
        }
    }
}

char *
bl_count_to_string (const BlCount *count)
{
  g_autofree guint32 *rest = g_memdup2 (count->limbs, (gsize) count->n * sizeof (guint32));
  g_autoptr (GArray) groups = g_array_new (FALSE, FALSE, sizeof (guint32));
  for (guint n = count->n; n > 0;)
    {
      guint64 remainder = 0;
      for (guint i = n; i-- > 0;)
        {
          remainder = remainder << 32 | rest[i];
          rest[i] = (guint32) (remainder / GROUP);
          remainder %= GROUP;
        }
      guint32 group = (guint32) remainder;
      g_array_append_val (groups, group);
      while (n > 0 && rest[n - 1] == 0)
        n--;
    }
  g_autoptr (GString) text = g_string_new (NULL);
  for (guint i = groups->len; i-- > 0;)
    g_string_append_printf (text, text->len > 0 ? "%09u" : "%u",
                            g_array_index (groups, guint32, i));
  if (text->len == 0)
    g_string_append_c (text, '0');
  return g_string_free (g_steal_pointer (&text), FALSE);
}
