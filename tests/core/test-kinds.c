/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of published priors against rows of its sources, and how it is looked up.
 * Shares: MIL-HDBK-338B (1 October 1998), section 7.8, failure mode distribution of parts.
 * Rates: MIL-HDBK-217F Notice 2, appendix A, parts count, generic rates for ground fixed (G_F). */
#include "config.h"

#include "bl-kinds.h"

#include "fixture-demo.h"

#include <string.h>

/* MIL-HDBK-338B: aluminium electrolytic capacitor, bipolar transistor, fuse, connector, relay, as
 * read in a secondary table; varistor and solder joint have no row there. */
static void
test_shares (void)
{
  g_assert_cmpfloat (bl_kind_share ("capacitor.electrolytic", "short"), ==, 0.53);
  g_assert_cmpfloat (bl_kind_share ("capacitor.electrolytic", "open"), ==, 0.35);
  g_assert_cmpfloat (bl_kind_share ("capacitor.electrolytic", "leak"), ==, 0.10);
  g_assert_cmpfloat (bl_kind_share ("capacitor.electrolytic", "drift"), ==, 0.02);
  g_assert_cmpfloat (bl_kind_share ("transistor", "short"), ==, 0.73);
  g_assert_cmpfloat (bl_kind_share ("fuse", "open"), ==, 0.08);
  g_assert_cmpfloat (bl_kind_share ("connector", "poor contact"), ==, 0.23);
  g_assert_cmpfloat (bl_kind_share ("relay", "fails to trip"), ==, 0.55);
  g_assert_true (isnan (bl_kind_share ("solder", "open")));
  g_assert_true (isnan (bl_kind_share ("suppressor", "short")));
}

/* MIL-HDBK-217F Notice 2, G_F: fuse, aluminium electrolytic, opto-isolator, general purpose relay.
 */
static void
test_rates (void)
{
  g_assert_cmpfloat (bl_kind_rate ("fuse"), ==, 0.020);
  g_assert_cmpfloat (bl_kind_rate ("capacitor.electrolytic"), ==, 0.061);
  g_assert_cmpfloat (bl_kind_rate ("optocoupler"), ==, 0.070);
  g_assert_cmpfloat (bl_kind_rate ("relay"), ==, 0.28);
  /* The order that follows from the same appendix: lamp, relay, electrolytic, film resistor. */
  g_assert_cmpfloat (bl_kind_rate ("lamp"), >, bl_kind_rate ("relay"));
  g_assert_cmpfloat (bl_kind_rate ("relay"), >, bl_kind_rate ("capacitor.electrolytic"));
  g_assert_cmpfloat (bl_kind_rate ("capacitor.electrolytic"), >, bl_kind_rate ("resistor.film"));
}

static void
test_general (void)
{
  g_assert_cmpfloat (bl_kind_rate ("ic.regulator"), ==, bl_kind_rate ("ic"));
  g_assert_cmpfloat (bl_kind_share ("ic.regulator", "no output"), ==, 0.23);
  g_assert_cmpfloat (bl_kind_rate ("relay.reed.sealed"), ==, 0.23);
  g_assert_cmpfloat (bl_kind_share ("relay.reed", "short"), ==, 0.19);
  /* Its own row of shares is the whole row: no mode is taken from the general kind. */
  g_assert_true (isnan (bl_kind_share ("ic.logic", "no output")));
  g_assert_cmpfloat (bl_kind_rate ("icy"), ==, BL_KIND_RATE_UNKNOWN);
  g_assert_cmpfloat (bl_kind_rate (""), ==, BL_KIND_RATE_UNKNOWN);
  g_assert_cmpfloat (bl_kind_rate ("."), ==, BL_KIND_RATE_UNKNOWN);
  g_assert_cmpfloat (bl_kind_rate (NULL), ==, BL_KIND_RATE_UNKNOWN);
  g_assert_true (isnan (bl_kind_share ("fuse", "")));
  /* An equipment's conductors and cables must not meet a row by their name. */
  g_assert_cmpfloat (bl_kind_rate ("conductor"), ==, BL_KIND_RATE_UNKNOWN);
  g_assert_true (isnan (bl_kind_share ("cable", "open")));
}

/* Each handbook row sums to 1.00, one (digital MOS, from memory) to 1.01. */
static void
test_sums (void)
{
  guint rows = 0;
  for (const char *const *kind = bl_kinds (); *kind != NULL; kind++)
    {
      g_autofree const char **modes = bl_kind_modes (*kind);
      double sum = 0, last = 1;
      for (guint i = 0; modes[i] != NULL; i++)
        {
          double share = bl_kind_share (*kind, modes[i]);
          g_assert_cmpfloat (share, <=, last);
          sum += last = share;
        }
      if (modes[0] == NULL)
        continue;
      g_assert_cmpfloat_with_epsilon (sum, 1, 0.011);
      rows++;
    }
  g_assert_cmpuint (rows, >, 40);
}

static void
test_sources (void)
{
  g_autofree char *rate = bl_kind_source ("fuse", NULL);
  g_autofree char *share = bl_kind_source ("triac", "failed off");
  g_assert_nonnull (strstr (rate, "MIL-HDBK-217F Notice 2"));
  g_assert_nonnull (strstr (share, "from memory"));
  g_assert_null (bl_kind_source ("nothing", NULL));
}

static void
check_kinds_of (const char *name)
{
  g_autoptr (BlBoard) board = demo_board (name);
  for (guint i = 0; i < bl_len (board->components); i++)
    {
      const BlComponent *component = bl_at (board->components, i);
      g_autofree char *source = bl_kind_source (component->kind, NULL);
      if (source == NULL)
        g_test_message ("%s: %s", component->id, component->kind);
      g_assert_nonnull (source);
    }
}

/* Every kind of the demo has a row, and each row says where it is from or that it has no source. */
static void
test_demo (void)
{
  check_kinds_of ("wall-board.json");
  check_kinds_of ("roof-board.json");
  for (const char *const *kind = bl_kinds (); *kind != NULL; kind++)
    {
      g_autofree char *source = bl_kind_source (*kind, NULL);
      g_assert_true (source == NULL || strstr (source, "MIL-HDBK-217F") != NULL
                     || strstr (source, "no source") != NULL);
    }
  /* 217F has one row for suppressors and varistors; where no handbook says anything, the value is the
   * one of kinds that are not in the table, so that naming them changed no odds. */
  g_assert_cmpfloat (bl_kind_rate ("varistor"), ==, 0.023);
  g_assert_cmpfloat (bl_kind_rate ("terminal"), ==, BL_KIND_RATE_UNKNOWN);
  g_assert_true (isnan (bl_kind_share ("varistor", "short")));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/kinds/shares", test_shares);
  g_test_add_func ("/kinds/rates", test_rates);
  g_test_add_func ("/kinds/general", test_general);
  g_test_add_func ("/kinds/sums", test_sums);
  g_test_add_func ("/kinds/sources", test_sources);
  g_test_add_func ("/kinds/demo", test_demo);
  return g_test_run ();
}
