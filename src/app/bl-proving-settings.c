/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's checks, soak and limits in the settings. Only what differs from what the program comes with is
 * kept, so that what was never touched follows it. Some fifteen figures. */
#include "config.h"

#include "bl-proving-settings.h"

#include <glib/gi18n-lib.h>
#include <stddef.h>

#include "bl-proving.h"
#include "bl-settings.h"

static const BlLimitRow rows[] = {
  { "conductor", N_ ("Protective _conductor, at most"), "Ω", 1, offsetof (BlSafetyLimits, conductor_ohm) },
  { "conductor-to", N_ ("… with a cord of up to"), "m", 1, offsetof (BlSafetyLimits, conductor_to_m) },
  { "conductor-more", N_ ("… more, for each further length"), "Ω", 1, offsetof (BlSafetyLimits, more_ohm) },
  { "conductor-more-m", N_ ("… of"), "m", 1, offsetof (BlSafetyLimits, more_m) },
  { "conductor-most", N_ ("… and never above"), "Ω", 1, offsetof (BlSafetyLimits, conductor_most_ohm) },
  { "insulation-1", N_ ("_Insulation, class I, at least"), "MΩ", 1e6, offsetof (BlSafetyLimits, insulation_ohm[0]) },
  { "insulation-heater", N_ ("… with heating elements"), "MΩ", 1e6, offsetof (BlSafetyLimits, insulation_heater_ohm) },
  { "insulation-2", N_ ("… class II"), "MΩ", 1e6, offsetof (BlSafetyLimits, insulation_ohm[1]) },
  { "insulation-3", N_ ("… class III"), "MΩ", 1e6, offsetof (BlSafetyLimits, insulation_ohm[2]) },
  { "conductor-current", N_ ("Protective conductor c_urrent, at most"), "mA", 1e-3,
    offsetof (BlSafetyLimits, conductor_a) },
  { "heater-from", N_ ("… heating elements above"), "kW", 1e3, offsetof (BlSafetyLimits, heater_from_w) },
  { "heater-per", N_ ("… at most, for each kW"), "mA", 1e-6, offsetof (BlSafetyLimits, heater_a_per_w) },
  { "heater-most", N_ ("… and never above"), "mA", 1e-3, offsetof (BlSafetyLimits, heater_most_a) },
  { "contact", N_ ("C_ontact current, at most"), "mA", 1e-3, offsetof (BlSafetyLimits, contact_a) },
};

const BlLimitRow *
bl_proving_settings_rows (guint *n)
{
  *n = G_N_ELEMENTS (rows);
  return rows;
}

static double *
field (BlSafetyLimits *limits, const BlLimitRow *row)
{
  return (double *) (gpointer) ((char *) limits + row->offset);
}

char **
bl_proving_settings_checks (void)
{
  GSettings *settings = bl_settings ();
  g_autoptr (GVariant) kept = settings != NULL ? g_settings_get_value (settings, "proving-checks") : NULL;
  g_autoptr (GVariant) list = kept != NULL ? g_variant_get_maybe (kept) : NULL;

  return list != NULL ? g_variant_dup_strv (list, NULL) : bl_proving_usual_checks ();
}

void
bl_proving_settings_set_checks (const char *const *checks)
{
  GSettings *settings = bl_settings ();
  g_auto (GStrv) usual = bl_proving_usual_checks ();
  gboolean same = checks == NULL || g_strv_equal (checks, (const char *const *) usual);

  if (settings != NULL)
    g_settings_set_value (settings, "proving-checks",
                          g_variant_new_maybe (G_VARIANT_TYPE_STRING_ARRAY,
                                               same ? NULL : g_variant_new_strv (checks, -1)));
}

guint
bl_proving_settings_soak_minutes (void)
{
  GSettings *settings = bl_settings ();

  return settings != NULL ? (guint) g_settings_get_int (settings, "soak-minutes") : 30;
}

void
bl_proving_settings_limits (BlSafetyLimits *limits)
{
  GSettings *settings = bl_settings ();
  g_autoptr (GVariant) kept = settings != NULL ? g_settings_get_value (settings, "safety-limits") : NULL;

  bl_safety_limits_usual (limits);
  for (guint i = 0; kept != NULL && i < G_N_ELEMENTS (rows); i++)
    {
      double value;
      if (g_variant_lookup (kept, rows[i].name, "d", &value) && isfinite (value) && value >= 0)
        *field (limits, &rows[i]) = value;
    }
}

char *
bl_proving_settings_source (void)
{
  GSettings *settings = bl_settings ();
  g_autofree char *typed = settings != NULL ? g_settings_get_string (settings, "safety-source") : g_strdup ("");
  g_autoptr (GVariant) kept = settings != NULL ? g_settings_get_value (settings, "safety-limits") : NULL;

  if (*typed != '\0')
    return g_steal_pointer (&typed);
  return g_strdup (kept != NULL && g_variant_n_children (kept) > 0 ? _ ("limits of the shop") : BL_SAFETY_LIMITS_SOURCE);
}

void
bl_proving_settings_set_limit (const BlLimitRow *row, double value)
{
  GSettings *settings = bl_settings ();
  g_auto (GVariantDict) dict = G_VARIANT_DICT_INIT (NULL);
  BlSafetyLimits usual, now;

  if (settings == NULL || !isfinite (value) || value < 0)
    return;
  bl_safety_limits_usual (&usual);
  bl_proving_settings_limits (&now);
  *field (&now, row) = value * row->scale;
  for (guint i = 0; i < G_N_ELEMENTS (rows); i++)
    if (fabs (*field (&now, &rows[i]) - *field (&usual, &rows[i])) > 1e-9 * *field (&usual, &rows[i]))
      g_variant_dict_insert (&dict, rows[i].name, "d", *field (&now, &rows[i]));
  g_settings_set_value (settings, "safety-limits", g_variant_dict_end (&dict));
}
