/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The shop's limits, from the settings to the open job, which knows no settings. */
#include "config.h"

#include "bl-safe-settings.h"

#include "bl-report-shop.h"
#include "bl-settings.h"

BlSafeLimits
bl_safe_settings_limits (void)
{
  return bl_shop_limits (bl_settings ());
}

static void
settings_changed (BlBench *bench, const char *key)
{
  if (g_str_has_prefix (key, "shock-") || g_str_has_prefix (key, "ohms-"))
    {
      BlSafeLimits limits = bl_safe_settings_limits ();
      bl_bench_set_limits (bench, &limits);
    }
}

void
bl_safe_settings_follow (BlBench *bench)
{
  g_return_if_fail (BL_IS_BENCH (bench));
  GSettings *settings = bl_settings ();
  BlSafeLimits limits = bl_safe_settings_limits ();

  bl_bench_set_limits (bench, &limits);
  if (settings != NULL)
    g_signal_connect_object (settings, "changed", G_CALLBACK (settings_changed), bench, G_CONNECT_SWAPPED);
}
