/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Says where a weight comes from, so that a technician can tell the handbook's figure from the shop's own.
 * It follows the rules of bl_board_mode_weight () and computes nothing of its own: what is named last is
 * what that function gives.
 */
#include "config.h"

#include "bl-weight-words.h"

#include "bl-kinds.h"

#include <glib/gi18n-lib.h>

/* "handbook 0.061 (aluminium electrolytic, MIL-HDBK-217F ...)". */
static char *
rate_words (const char *kind)
{
  g_autofree char *source = bl_kind_source (kind, NULL);
  double rate = bl_kind_rate (kind);

  return source != NULL ? g_strdup_printf (_ ("handbook %.3g (%s)"), rate, source)
                        : g_strdup_printf (_ ("%.3g, as for a fuse: this kind is not in the handbook"), rate);
}

static guint
count_own (const BlComponent *component)
{
  guint n = 0;

  for (guint i = 0; i < bl_len (component->modes); i++)
    n += isnan (((BlMode *) bl_at (component->modes, i))->weight) ? 0 : 1;
  return n;
}

static char *
base_words (const BlComponent *component)
{
  guint own = count_own (component);
  g_autofree char *handbook = rate_words (component->kind);

  if (!isnan (component->weight))
    return g_strdup_printf (_ ("own figure %.3g; %s"), component->weight, handbook);
  if (own > 0 && own == bl_len (component->modes))
    return g_strdup_printf (_ ("own figures of its failure modes; %s"), handbook);
  if (own > 0)
    return g_strdup_printf (_ ("%s, and own figures of some of its failure modes"), handbook);
  return g_steal_pointer (&handbook);
}

char *
bl_component_weight_words (const BlComponent *component)
{
  g_return_val_if_fail (component != NULL, NULL);
  g_autofree char *base = base_words (component);
  const char *reason = component->factor_reason != NULL ? component->factor_reason : _ ("no reason said");
  double sum = 0;

  for (guint i = 0; i < bl_len (component->modes); i++)
    sum += bl_board_mode_weight (NULL, component, bl_at (component->modes, i));
  g_autofree char *factor = isnan (component->factor) ? g_strdup ("")
                                                       : g_strdup_printf (", ×%.3g %s", component->factor, reason);
  if (bl_len (component->modes) == 0)
    return g_strdup_printf ("%s%s", base, factor);
  return g_strdup_printf (_ ("%s%s; its failure modes together %.3g"), base, factor, sum);
}

char *
bl_mode_weight_words (const BlBoard *board, const BlComponent *component, const BlMode *mode)
{
  g_return_val_if_fail (component != NULL && mode != NULL, NULL);
  double weight = bl_board_mode_weight (board, component, mode);
  double share = bl_kind_share (component->kind, mode->mode);
  g_autofree char *source = bl_kind_source (component->kind, mode->mode);

  if (!isnan (mode->weight) && isnan (component->weight) && !isnan (share))
    return g_strdup_printf (_ ("%.3g: own figure; handbook %.3g (%s)"), weight, bl_kind_rate (component->kind) * share,
                            source);
  if (!isnan (mode->weight) && isnan (component->weight))
    return g_strdup_printf (_ ("%.3g: own figure"), weight);
  if (!isnan (mode->weight))
    return g_strdup_printf (_ ("%.3g: own share"), weight);
  if (isnan (share))
    return g_strdup_printf (_ ("%.3g: an equal share, the handbook has no such mode of this kind"), weight);
  return g_strdup_printf (_ ("%.3g: handbook share %.0f %% (%s)"), weight, 100 * share, source);
}
