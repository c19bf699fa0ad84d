/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Lays one photo of a board over another by landmarks.
 *
 * A flat board seen from two places is one plane seen twice: the map is a homography, whatever the
 * cameras were. A linear solution in coordinates moved to the landmarks' centre and scaled to their
 * spread gives the start, then the sum of squared distances in the second photo is made least. GSL has
 * the decomposition and the minimiser. Lens distortion is not modelled: it shows in the residuals.
 *
 * A landmark set at the wrong place is found by leaving each out in turn: the one without which the
 * rest agrees is named, if the gain is beyond what clicks by hand explain and no other landmark does as
 * well. With four nothing is left over to judge by, with five any four agree: from six on it works.
 *
 * A handful of landmarks, at most some dozens. */
#include "config.h"

#include "bl-registration.h"

#include <float.h>
#include <string.h>

#include <glib/gi18n-lib.h>
#include <gsl/gsl_cdf.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <gsl/gsl_multifit_nlinear.h>

enum
{
  LEAST = 4,       /* landmarks that fix a homography */
  UNKNOWNS = 8,    /* of a homography */
  STEPS = 100,     /* of the minimiser; some five are usual */
  CLICK_WEIGHT = 4 /* degrees of freedom that the stated precision of a click counts as */
};

#define FLAT 1e-7          /* singular value, as a share of the largest, below which the plane is not spanned */
#define CHANCE 0.01        /* of naming a landmark where all are right */
#define CLEARLY_BETTER 4.0 /* in the sum of squares, than without any other landmark */

/* Centre and scale that bring points to a mean distance of root two. */
typedef struct
{
  double cx, cy, scale;
} Frame;

typedef struct
{
  const BlLandmarkPair *pairs;
  guint n;
  int left_out; /* index, -1: none */
  Frame from, to;
} Problem;

/* --- maps --- */

static double
weight_at (const BlHomography *map, double x, double y)
{
  return map->h[6] * x + map->h[7] * y + map->h[8];
}

void
bl_homography_apply (const BlHomography *map, double x, double y, double *u, double *v)
{
  const double *h = map->h;
  double w = weight_at (map, x, y);

  *u = w > 0 ? (h[0] * x + h[1] * y + h[2]) / w : NAN;
  *v = w > 0 ? (h[3] * x + h[4] * y + h[5]) / w : NAN;
}

static double
determinant (const double *h)
{
  return h[0] * (h[4] * h[8] - h[5] * h[7]) - h[1] * (h[3] * h[8] - h[5] * h[6])
         + h[2] * (h[3] * h[7] - h[4] * h[6]);
}

gboolean
bl_homography_invert (const BlHomography *map, BlHomography *inverse)
{
  const double *h = map->h;
  double d = determinant (h);
  double adjugate[9] = { h[4] * h[8] - h[5] * h[7], h[2] * h[7] - h[1] * h[8], h[1] * h[5] - h[2] * h[4],
                         h[5] * h[6] - h[3] * h[8], h[0] * h[8] - h[2] * h[6], h[2] * h[3] - h[0] * h[5],
                         h[3] * h[7] - h[4] * h[6], h[1] * h[6] - h[0] * h[7], h[0] * h[4] - h[1] * h[3] };

  g_return_val_if_fail (map != NULL && inverse != NULL, FALSE);
  if (d == 0 || !isfinite (d))
    return FALSE;
  /* a positive weight in the one is a positive weight in the other: H (x, y, 1) = w (u, v, 1) */
  for (guint i = 0; i < 9; i++)
    inverse->h[i] = adjugate[i] / d;
  return TRUE;
}

/* product = a b, 3 by 3 by rows; product may not be one of them */
static void
multiply (const double *a, const double *b, double *product)
{
  for (guint i = 0; i < 3; i++)
    for (guint j = 0; j < 3; j++)
      product[3 * i + j] = a[3 * i] * b[j] + a[3 * i + 1] * b[3 + j] + a[3 * i + 2] * b[6 + j];
}

/* --- the problem in its own coordinates --- */

static Frame
frame_of (const Problem *problem, gboolean target)
{
  Frame frame = { 0, 0, 0 };
  guint used = problem->left_out >= 0 ? problem->n - 1 : problem->n;
  double spread = 0;

  for (guint i = 0; i < problem->n; i++)
    if ((int) i != problem->left_out)
      {
        frame.cx += (target ? problem->pairs[i].u : problem->pairs[i].x) / used;
        frame.cy += (target ? problem->pairs[i].v : problem->pairs[i].y) / used;
      }
  for (guint i = 0; i < problem->n; i++)
    if ((int) i != problem->left_out)
      spread += hypot ((target ? problem->pairs[i].u : problem->pairs[i].x) - frame.cx,
                       (target ? problem->pairs[i].v : problem->pairs[i].y) - frame.cy) / used;
  frame.scale = spread > 0 ? G_SQRT2 / spread : 0;
  return frame;
}

static void
normal_pair (const Problem *problem, guint i, double *x, double *y, double *u, double *v)
{
  const BlLandmarkPair *pair = &problem->pairs[i];

  *x = (pair->x - problem->from.cx) * problem->from.scale;
  *y = (pair->y - problem->from.cy) * problem->from.scale;
  *u = (pair->u - problem->to.cx) * problem->to.scale;
  *v = (pair->v - problem->to.cy) * problem->to.scale;
}

/* The landmarks that count, one after the other. */
static gboolean
next_used (const Problem *problem, guint *i)
{
  if ((int) *i == problem->left_out)
    ++*i;
  return *i < problem->n;
}

/* The linear solution: the right singular vector of the least singular value. FALSE when the landmarks
 * do not span the plane, so that more than one map fits. */
static gboolean
solve_linear (const Problem *problem, double *h)
{
  gsize rows = MAX (2 * (gsize) problem->n, 9);
  gsl_matrix *a = gsl_matrix_calloc (rows, 9), *v = gsl_matrix_alloc (9, 9);
  gsl_vector *s = gsl_vector_alloc (9), *work = gsl_vector_alloc (9);
  gboolean spanned;
  gsize row = 0;

  for (guint i = 0; next_used (problem, &i); i++, row += 2)
    {
      double x, y, u, w;
      normal_pair (problem, i, &x, &y, &u, &w);
      const double first[9] = { x, y, 1, 0, 0, 0, -u * x, -u * y, -u },
                   second[9] = { 0, 0, 0, x, y, 1, -w * x, -w * y, -w };
      for (guint j = 0; j < 9; j++)
        {
          gsl_matrix_set (a, row, j, first[j]);
          gsl_matrix_set (a, row + 1, j, second[j]);
        }
    }
  spanned = gsl_linalg_SV_decomp (a, v, s, work) == GSL_SUCCESS
            && gsl_vector_get (s, 7) > FLAT * gsl_vector_get (s, 0);
  for (guint j = 0; j < 9; j++)
    h[j] = gsl_matrix_get (v, j, 8);
  gsl_matrix_free (a);
  gsl_matrix_free (v);
  gsl_vector_free (s);
  gsl_vector_free (work);
  return spanned && fabs (h[8]) > DBL_EPSILON;
}

/* --- least distances --- */

static int
distances (const gsl_vector *p, void *data, gsl_vector *f)
{
  const Problem *problem = data;
  gsize row = 0;

  for (guint i = 0; next_used (problem, &i); i++, row += 2)
    {
      double x, y, u, v, w;
      normal_pair (problem, i, &x, &y, &u, &v);
      w = gsl_vector_get (p, 6) * x + gsl_vector_get (p, 7) * y + 1;
      gsl_vector_set (f, row, (gsl_vector_get (p, 0) * x + gsl_vector_get (p, 1) * y + gsl_vector_get (p, 2)) / w - u);
      gsl_vector_set (f, row + 1,
                      (gsl_vector_get (p, 3) * x + gsl_vector_get (p, 4) * y + gsl_vector_get (p, 5)) / w - v);
    }
  return GSL_SUCCESS;
}

static int
slopes (const gsl_vector *p, void *data, gsl_matrix *j)
{
  const Problem *problem = data;
  gsize row = 0;

  gsl_matrix_set_zero (j);
  for (guint i = 0; next_used (problem, &i); i++, row += 2)
    {
      double x, y, u, v, w, a, b;
      normal_pair (problem, i, &x, &y, &u, &v);
      w = gsl_vector_get (p, 6) * x + gsl_vector_get (p, 7) * y + 1;
      a = gsl_vector_get (p, 0) * x + gsl_vector_get (p, 1) * y + gsl_vector_get (p, 2);
      b = gsl_vector_get (p, 3) * x + gsl_vector_get (p, 4) * y + gsl_vector_get (p, 5);
      const double by[3] = { x / w, y / w, 1 / w };
      for (guint k = 0; k < 3; k++)
        {
          gsl_matrix_set (j, row, k, by[k]);
          gsl_matrix_set (j, row + 1, 3 + k, by[k]);
        }
      for (guint k = 0; k < 2; k++)
        {
          gsl_matrix_set (j, row, 6 + k, -a / w * by[k]);
          gsl_matrix_set (j, row + 1, 6 + k, -b / w * by[k]);
        }
    }
  return GSL_SUCCESS;
}

/* Makes the sum of squared distances least, beginning at h, which it overwrites when that went well. */
static void
refine (Problem *problem, double *h)
{
  guint used = problem->left_out >= 0 ? problem->n - 1 : problem->n;
  gsl_multifit_nlinear_parameters parameters = gsl_multifit_nlinear_default_parameters ();
  gsl_multifit_nlinear_fdf fdf = {
    .f = distances, .df = slopes, .n = 2 * (gsize) used, .p = UNKNOWNS, .params = problem
  };
  gsl_multifit_nlinear_workspace *work;
  double start[UNKNOWNS];
  int info;

  if (used == LEAST) /* nothing to choose from */
    return;
  for (guint k = 0; k < UNKNOWNS; k++)
    start[k] = h[k] / h[8];
  gsl_vector_view view = gsl_vector_view_array (start, UNKNOWNS);
  work = gsl_multifit_nlinear_alloc (gsl_multifit_nlinear_trust, &parameters, fdf.n, fdf.p);
  if (gsl_multifit_nlinear_init (&view.vector, &fdf, work) == GSL_SUCCESS)
    {
      gsl_multifit_nlinear_driver (STEPS, 1e-14, 1e-14, 0, NULL, NULL, &info, work);
      for (guint k = 0; k < UNKNOWNS; k++)
        h[k] = gsl_vector_get (gsl_multifit_nlinear_position (work), k);
      h[8] = 1;
    }
  gsl_multifit_nlinear_free (work);
}

/* Back from the frames' coordinates to pixels, the weight positive over the landmarks. FALSE when it is
 * positive over some and negative over others: a board cannot be seen folded. */
static gboolean
to_pixels (const Problem *problem, const double *h, BlHomography *map)
{
  const Frame *from = &problem->from, *to = &problem->to;
  const double in[9] = { from->scale, 0, -from->cx * from->scale, 0, from->scale, -from->cy * from->scale, 0, 0, 1 },
               out[9] = { 1 / to->scale, 0, to->cx, 0, 1 / to->scale, to->cy, 0, 0, 1 };
  double half[9], sign = 0;

  multiply (h, in, half);
  multiply (out, half, map->h);
  for (guint i = 0; next_used (problem, &i); i++)
    {
      double w = weight_at (map, problem->pairs[i].x, problem->pairs[i].y);
      if (sign == 0)
        sign = w > 0 ? 1 : -1;
      if (!(w * sign > 0))
        return FALSE;
    }
  for (guint k = 0; k < 9; k++)
    map->h[k] *= sign;
  return TRUE;
}

/* The map by all landmarks but one. */
static gboolean
fit_without (const BlLandmarkPair *pairs, guint n, int left_out, BlHomography *map, gboolean *spanned)
{
  Problem problem = { .pairs = pairs, .n = n, .left_out = left_out };
  double h[9];

  problem.from = frame_of (&problem, FALSE);
  problem.to = frame_of (&problem, TRUE);
  *spanned = problem.from.scale > 0 && problem.to.scale > 0 && solve_linear (&problem, h);
  if (!*spanned)
    return FALSE;
  refine (&problem, h);
  return to_pixels (&problem, h, map) && determinant (map->h) != 0;
}

/* --- what is left over --- */

static double
distance (const BlHomography *map, const BlLandmarkPair *pair)
{
  double u, v;

  bl_homography_apply (map, pair->x, pair->y, &u, &v);
  return isnan (u) ? INFINITY : hypot (u - pair->u, v - pair->v);
}

static double
squares (const BlHomography *map, const BlLandmarkPair *pairs, guint n, int left_out)
{
  double sum = 0;

  for (guint i = 0; i < n; i++)
    if ((int) i != left_out)
      sum += distance (map, &pairs[i]) * distance (map, &pairs[i]);
  return sum;
}

/* Finds the one landmark without which the rest agrees. */
static void
find_suspect (BlRegistration *self, const BlLandmarkPair *pairs, double click)
{
  double all = squares (&self->map, pairs, self->n, -1), best = INFINITY, second = INFINITY;
  int freedom = 2 * ((int) self->n - 1) - UNKNOWNS, index = -1;

  for (guint i = 0; i < self->n; i++)
    {
      BlHomography map;
      gboolean spanned;
      double sum = all;
      if (fit_without (pairs, self->n, (int) i, &map, &spanned))
        sum = squares (&map, pairs, self->n, (int) i);
      if (sum < best)
        {
          second = best;
          best = sum;
          index = (int) i;
        }
      else
        second = MIN (second, sum);
    }
  /* a variance from the rest, held up by what a click is known to be worth, so that a few landmarks that
   * agree by luck accuse nobody */
  double noise = CLICK_WEIGHT * click * click, total = freedom + CLICK_WEIGHT;
  double ratio = (all - best) / 2 / ((best + noise) / total);
  if (self->n * gsl_cdf_fdist_Q (ratio, 2, total) < CHANCE && second + noise > CLEARLY_BETTER * (best + noise))
    {
      self->suspect = index;
      self->rms_without = sqrt (best / (self->n - 1));
    }
}

/* GSL's own handler ends the process where a matrix is singular; here one may be. */
static gpointer
keep_going (gpointer data)
{
  gsl_set_error_handler_off ();
  return NULL;
}

BlRegistration *
bl_registration_new (const BlLandmarkPair *pairs, guint n, double click, GError **error)
{
  static GOnce once = G_ONCE_INIT;
  g_autoptr (BlRegistration) self = g_new0 (BlRegistration, 1);
  gboolean spanned;

  g_return_val_if_fail (pairs != NULL || n == 0, NULL);
  g_return_val_if_fail (click > 0, NULL);
  if (n < LEAST)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                   ngettext ("%u landmark is in both photos; four are needed",
                             "%u landmarks are in both photos; four are needed", n),
                   n);
      return NULL;
    }
  g_once (&once, keep_going, NULL);
  gboolean found = fit_without (pairs, n, -1, &self->map, &spanned);
  if (found)
    {
      self->n = n;
      self->suspect = -1;
      self->rms_without = NAN;
      self->residuals = g_new (double, n);
      for (guint i = 0; i < n; i++)
        self->residuals[i] = distance (&self->map, &pairs[i]);
      self->rms = sqrt (squares (&self->map, pairs, n, -1) / n);
      self->mirrored = determinant (self->map.h) < 0; /* of the area's factor, det / weight^3 */
      if (n > LEAST + 1)
        find_suspect (self, pairs, click);
    }
  if (found)
    return g_steal_pointer (&self);
  g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID,
                       spanned ? _ ("the landmarks of the two photos are not the same places of one board")
                               : _ ("the landmarks lie on one line; four are needed of which no three do"));
  return NULL;
}

void
bl_registration_free (BlRegistration *registration)
{
  if (registration == NULL)
    return;
  g_free (registration->residuals);
  g_free (registration);
}
