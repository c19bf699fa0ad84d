/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's own words on a report, from the preferences: they belong to the shop, so they are in no board, no job and no
 * bundle. */
#include "config.h"

#include "bl-report-shop.h"

#define SCHEMA "org.benchlore.Benchlore"

static void
take (char **to, GSettings *settings, const char *key)
{
  g_autofree char *text = g_strstrip (g_settings_get_string (settings, key));

  g_clear_pointer (to, g_free);
  if (text[0] != '\0')
    *to = g_steal_pointer (&text);
}

BlSafeLimits
bl_shop_limits (GSettings *settings)
{
  BlSafeLimits limits = BL_SAFE_LIMITS;

  if (settings == NULL)
    return limits;
  limits.shock_dc = g_settings_get_double (settings, "shock-dc");
  limits.shock_ac = g_settings_get_double (settings, "shock-ac");
  limits.ohms_below = g_settings_get_double (settings, "ohms-below");
  limits.again_s = g_settings_get_double (settings, "ohms-again");
  bl_safe_limits_mend (&limits);
  return limits;
}

void
bl_report_take_shop (BlJobReport *report, GSettings *settings)
{
  g_return_if_fail (report != NULL);
  if (settings == NULL)
    return;
  report->limits = bl_shop_limits (settings);
  take (&report->shop_name, settings, "shop-name");
  take (&report->shop_address, settings, "shop-address");
  take (&report->shop_foot, settings, "shop-foot");
  take (&report->shop_warranty, settings, "shop-warranty");
}

BlReportPaper
bl_report_paper_wanted (GSettings *settings)
{
  int choice = settings != NULL ? g_settings_get_enum (settings, "report-paper") : 0;

  return choice == 0 ? bl_report_paper_usual () : choice == 2 ? BL_REPORT_LETTER : BL_REPORT_A4;
}

GSettings *
bl_report_settings (void)
{
  GSettingsSchemaSource *source = g_settings_schema_source_get_default ();
  g_autoptr (GSettingsSchema) schema
    = source != NULL ? g_settings_schema_source_lookup (source, SCHEMA, TRUE) : NULL;

  /* An older one installed beside this program has no such keys. */
  if (schema == NULL || !g_settings_schema_has_key (schema, "shop-warranty")
      || !g_settings_schema_has_key (schema, "ohms-again"))
    return NULL;
  return g_settings_new_full (schema, NULL, NULL);
}
