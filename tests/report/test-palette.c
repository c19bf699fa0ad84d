/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The contrast of the colours, computed by the formulas of WCAG 2.1 (relative luminance and
 * contrast ratio) against success criteria 1.4.3 (text, 4.5) and 1.4.11 (graphics, 3; number from
 * memory). */
#undef G_DISABLE_ASSERT
#include "config.h"

#include "bl-palette.h"

#include <math.h>

static double
channel (double value)
{
  return value <= 0.03928 ? value / 12.92 : pow ((value + 0.055) / 1.055, 2.4);
}

static double
luminance (const BlColour *colour)
{
  return 0.2126 * channel (colour->red) + 0.7152 * channel (colour->green) +
         0.0722 * channel (colour->blue);
}

static double
contrast (const BlColour *one, const BlColour *other)
{
  double a = luminance (one), b = luminance (other);

  return (MAX (a, b) + 0.05) / (MIN (a, b) + 0.05);
}

static void
test_formula (void)
{
  const BlColour black = { 0, 0, 0 }, white = { 1, 1, 1 },
                 grey = { 0x77 / 255.0, 0x77 / 255.0, 0x77 / 255.0 };

  g_assert_cmpfloat_with_epsilon (contrast (&black, &white), 21, 1e-9);
  /* Known neighbours of the 4.5 limit on white: #777777 fails with 4.48 (from memory). */
  g_assert_cmpfloat_with_epsilon (contrast (&grey, &white), 4.48, 0.005);
}

static void
check_text (const BlPalette *p)
{
  const BlColour *texts[] = { &p->ink,      &p->muted,   &p->in_band,   &p->low,        &p->high,
                              &p->unsteady, &p->shorted, &p->too_close, &p->not_reached };

  for (guint i = 0; i < G_N_ELEMENTS (texts); i++)
    {
      g_assert_cmpfloat (contrast (texts[i], &p->page), >=, 4.5);
      g_assert_cmpfloat (contrast (texts[i], &p->raised), >=, 4.5);
      g_assert_cmpfloat (contrast (texts[i], &p->likely_row), >=, 4.5);
    }
  g_assert_cmpfloat (contrast (&p->edge, &p->page), >=, 3);
  g_assert_cmpfloat (contrast (&p->edge, &p->raised), >=, 3);
  g_assert_cmpfloat (contrast (&p->lane_limit, &p->page), >=, 3);
  g_assert_cmpfloat (contrast (&p->lane_limit, &p->lane), >=, 3);
  /* Where absent, shorted and open lie on a ruler is told by the hatching alone. */
  g_assert_cmpfloat (contrast (&p->hatch, &p->page), >=, 3);
  g_assert_cmpfloat (contrast (&p->hatch, &p->raised), >=, 3);
  g_assert_cmpfloat (contrast (&p->mark_ink, &p->mark), >=, 3);
  g_assert_cmpfloat (contrast (&p->in_band, &p->lane), >=, 4.5);
  g_assert_cmpfloat (contrast (&p->mark_ink, &p->raised), >=, 3);
  g_assert_cmpfloat (contrast (&p->likely_ink, &p->likely), >=, 4.5);
  g_assert_cmpfloat (contrast (&p->ink, &p->likely_row), >=, 4.5);
  g_assert_cmpfloat (contrast (&p->banner_live_ink, &p->banner_live), >=, 4.5);
  g_assert_cmpfloat (contrast (&p->banner_limited_ink, &p->banner_limited), >=, 4.5);
  g_assert_cmpfloat (contrast (&p->banner_no_proof_ink, &p->banner_no_proof), >=, 4.5);
  g_assert_cmpfloat (contrast (&p->chip_ink, &p->chip), >=, 4.5);
  /* On photos the shapes are those of the dark in a casing, in both themes. */
  const BlPalette *dark = bl_palette_get (TRUE);
  const BlColour *shapes[] = { &dark->in_band,  &dark->low,       &dark->high,       &dark->ink, &dark->unsteady,
                               &dark->shorted, &dark->too_close, &dark->not_reached };
  for (guint i = 0; i < G_N_ELEMENTS (shapes); i++)
    g_assert_cmpfloat (contrast (shapes[i], &p->chip), >=, 3);
}

static void
test_light (void)
{
  check_text (bl_palette_get (FALSE));
}

static void
test_dark (void)
{
  check_text (bl_palette_get (TRUE));
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/report/palette/formula", test_formula);
  g_test_add_func ("/report/palette/light", test_light);
  g_test_add_func ("/report/palette/dark", test_dark);
  return g_test_run ();
}
