/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One photo laid over another, against a closed form, a pinhole camera and the theory of residuals. */
#include "config.h"

#include "bl-registration.h"

#include <math.h>

#define CLICK 2.0

static double
gauss (GRand *rand)
{
  double u = 1 - g_rand_double (rand), v = g_rand_double (rand);
  return sqrt (-2 * log (u)) * cos (2 * G_PI * v);
}

/* The unit square to a quadrilateral in closed form. Source: P. Heckbert, Fundamentals of Texture Mapping
 * and Image Warping, 1989, section 2.2.3 (from memory). */
static void
heckbert (const double *x, const double *y, double *h)
{
  double dx1 = x[1] - x[2], dx2 = x[3] - x[2], sx = x[0] - x[1] + x[2] - x[3];
  double dy1 = y[1] - y[2], dy2 = y[3] - y[2], sy = y[0] - y[1] + y[2] - y[3];
  double d = dx1 * dy2 - dx2 * dy1;

  h[6] = (sx * dy2 - dx2 * sy) / d;
  h[7] = (dx1 * sy - sx * dy1) / d;
  h[0] = x[1] - x[0] + h[6] * x[1];
  h[1] = x[3] - x[0] + h[7] * x[3];
  h[2] = x[0];
  h[3] = y[1] - y[0] + h[6] * y[1];
  h[4] = y[3] - y[0] + h[7] * y[3];
  h[5] = y[0];
  h[8] = 1;
}

static void
four_corners (void)
{
  const double x[] = { 812, 5630, 5122, 1040 }, y[] = { 455, 610, 4011, 3720 };
  const double sx[] = { 0, 1, 1, 0 }, sy[] = { 0, 0, 1, 1 };
  BlLandmarkPair pairs[4];
  double h[9];

  heckbert (x, y, h);
  for (guint i = 0; i < 4; i++)
    pairs[i] = (BlLandmarkPair){ "L", sx[i], sy[i], x[i], y[i] };
  g_autoptr (GError) error = NULL;
  g_autoptr (BlRegistration) fit = bl_registration_new (pairs, 4, CLICK, &error);
  g_assert_no_error (error);
  for (guint k = 0; k < 9; k++)
    g_assert_cmpfloat_with_epsilon (fit->map.h[k] / fit->map.h[8], h[k], 1e-9 * MAX (1, fabs (h[k])));
  g_assert_cmpfloat (fit->rms, <, 1e-8);
  g_assert_false (fit->mirrored);
  g_assert_cmpint (fit->suspect, ==, -1);
}

/* A board point (mm) as a pinhole camera sees it: turned by three angles, moved off, projected. */
static void
camera (double x, double y, const double *angles, double away, gboolean back, double *u, double *v)
{
  double cx = cos (angles[0]), sx = sin (angles[0]), cy = cos (angles[1]), sy = sin (angles[1]);
  double cz = cos (angles[2]), sz = sin (angles[2]);
  double px = back ? -x : x, py = y; /* a board turned about its long edge */
  double x1 = cz * px - sz * py, y1 = sz * px + cz * py;
  double x2 = cy * x1, z2 = -sy * x1;
  double y3 = cx * y1 - sx * z2, z3 = sx * y1 + cx * z2 + away;
  *u = 3000 + 9000 * x2 / z3;
  *v = 2000 + 9000 * y3 / z3;
}

static const double first_view[] = { 0.02, -0.03, 0.01 }, second_view[] = { 0.2, 0.15, 1.2 };

static void
make_pairs (BlLandmarkPair *pairs, guint n, gboolean back, GRand *rand)
{
  for (guint i = 0; i < n; i++)
    {
      double x = -90 + 180 * g_rand_double (rand), y = -60 + 120 * g_rand_double (rand);
      pairs[i].name = "L";
      camera (x, y, first_view, 400, FALSE, &pairs[i].x, &pairs[i].y);
      camera (x, y, second_view, 500, back, &pairs[i].u, &pairs[i].v);
    }
}

static void
pinhole (gconstpointer data)
{
  gboolean back = GPOINTER_TO_INT (data);
  g_autoptr (GRand) rand = g_rand_new_with_seed (7);
  BlLandmarkPair pairs[9];
  BlHomography back_map;

  make_pairs (pairs, 9, back, rand);
  g_autoptr (BlRegistration) fit = bl_registration_new (pairs, 8, CLICK, NULL); /* the ninth is not seen */
  g_assert_nonnull (fit);
  double u, v;
  bl_homography_apply (&fit->map, pairs[8].x, pairs[8].y, &u, &v);
  g_assert_cmpfloat_with_epsilon (u, pairs[8].u, 1e-6);
  g_assert_cmpfloat_with_epsilon (v, pairs[8].v, 1e-6);
  g_assert_cmpint (fit->mirrored, ==, back);
  g_assert_true (bl_homography_invert (&fit->map, &back_map));
  bl_homography_apply (&back_map, u, v, &u, &v);
  g_assert_cmpfloat_with_epsilon (u, pairs[8].x, 1e-6);
  g_assert_cmpfloat_with_epsilon (v, pairs[8].y, 1e-6);
}

/* Residual of a fit with noise s in one image: mean of (rms per coordinate)^2 = s^2 (1 - 8 / 2n).
 * Source: R. Hartley and A. Zisserman, Multiple View Geometry, 2nd ed., result 5.1 (from memory). It holds
 * to first order; a fit that stops short of the least squares would lie above it. */
static void
residuals (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (3);

  for (guint n = 5; n <= 20; n += 5)
    {
      double sum = 0;
      guint runs = 400;
      for (guint run = 0; run < runs; run++)
        {
          BlLandmarkPair pairs[20];
          make_pairs (pairs, n, FALSE, rand);
          for (guint i = 0; i < n; i++)
            {
              pairs[i].u += CLICK * gauss (rand);
              pairs[i].v += CLICK * gauss (rand);
            }
          g_autoptr (BlRegistration) fit = bl_registration_new (pairs, n, CLICK, NULL);
          if (fit != NULL)
            sum += fit->rms * fit->rms / 2 / runs;
        }
      g_assert_cmpfloat_with_epsilon (sum / (CLICK * CLICK * (1 - 4.0 / n)), 1, n == 5 ? 0.2 : 0.1);
    }
}

/* One landmark set at the wrong place is named; where all are right, next to none is. */
static void
bad_landmark (void)
{
  g_autoptr (GRand) rand = g_rand_new_with_seed (11);

  for (guint n = 6; n <= 12; n += 2)
    {
      guint named = 0, right = 0, accused = 0, runs = 100;
      for (guint run = 0; run < runs; run++)
        {
          BlLandmarkPair pairs[12];
          guint bad = run % n;
          make_pairs (pairs, n, FALSE, rand);
          for (guint i = 0; i < n; i++)
            {
              pairs[i].u += CLICK * gauss (rand);
              pairs[i].v += CLICK * gauss (rand);
            }
          g_autoptr (BlRegistration) good = bl_registration_new (pairs, n, CLICK, NULL);
          g_assert_nonnull (good);
          accused += good->suspect >= 0;
          pairs[bad].u += 300;
          pairs[bad].v -= 200;
          g_autoptr (BlRegistration) fit = bl_registration_new (pairs, n, CLICK, NULL);
          named += fit != NULL && fit->suspect >= 0;
          right += fit != NULL && fit->suspect == (int) bad;
        }
      g_test_message ("%u landmarks: of %u one wrong, named %u, rightly %u; all right, accused %u", n, runs, named,
                      right, accused);
      g_assert_cmpuint (accused, <=, runs / 50);
      g_assert_cmpuint (named - right, <=, runs / 50);
      g_assert_cmpuint (right, >=, n == 6 ? runs * 6 / 10 : runs * 9 / 10);
    }
}

static void
refused (void)
{
  BlLandmarkPair pairs[]
      = { { "L1", 0, 0, 0, 0 }, { "L2", 1, 0, 10, 0 }, { "L3", 2, 0, 20, 0 }, { "L4", 1, 1, 10, 10 } };
  g_autoptr (GError) few = NULL, line = NULL, same = NULL, folded = NULL;

  g_assert_null (bl_registration_new (pairs, 3, CLICK, &few));
  g_assert_error (few, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  g_assert_null (bl_registration_new (pairs, 4, CLICK, &line)); /* three on a line */
  g_assert_error (line, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  for (guint i = 0; i < 4; i++)
    pairs[i].x = pairs[i].y = 5;
  g_assert_null (bl_registration_new (pairs, 4, CLICK, &same));
  g_assert_error (same, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
  /* two corners exchanged: no view of a flat board does that */
  BlLandmarkPair crossed[] = { { "A", 0, 0, 0, 0 }, { "B", 1, 0, 1, 1 }, { "C", 1, 1, 1, 0 }, { "D", 0, 1, 0, 1 } };
  g_assert_null (bl_registration_new (crossed, 4, CLICK, &folded));
  g_assert_error (folded, BL_CORE_ERROR, BL_CORE_ERROR_INVALID);
}

int
main (int argc, char **argv)
{
  g_test_init (&argc, &argv, NULL);
  g_test_add_func ("/core/registration/four-corners", four_corners);
  g_test_add_data_func ("/core/registration/pinhole", GINT_TO_POINTER (FALSE), pinhole);
  g_test_add_data_func ("/core/registration/other-side", GINT_TO_POINTER (TRUE), pinhole);
  g_test_add_func ("/core/registration/residuals", residuals);
  g_test_add_func ("/core/registration/bad-landmark", bad_landmark);
  g_test_add_func ("/core/registration/refused", refused);
  return g_test_run ();
}
