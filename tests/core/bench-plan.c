/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How near the advice comes to the best possible, and how long it takes.
 *
 * Expected effort is that of a technician who asks anew after every reading and takes the first step
 * advised; it is compared with the optimum found here by plain dynamic programming over histories,
 * which shares nothing with the program. One line a figure. */
#include "config.h"

#include "bl-document.h"
#include "bl-plan.h"

#include "bench-board.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>
#undef G_DISABLE_ASSERT

enum { MODELS = 100, MAX_H = 16, MAX_T = 16, FAR_TOO_SMALL = 20000 };

static double
cpu_ms (void)
{
  struct timespec now;
  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &now);
  return (double) now.tv_sec * 1e3 + (double) now.tv_nsec * 1e-6;
}

/* --- models --- */

typedef struct
{
  guint h, t, classes, groups, states;
  double prior[MAX_H], cost[MAX_T], enter[4], lead, chance[MAX_T][MAX_H][3];
  int group[MAX_H], state[MAX_T], black[MAX_T];
  double enough, telling;
} Model;

static BlPlanTable *
table_of (const Model *model)
{
  BlPlanTable *table = g_new0 (BlPlanTable, 1);
  table->n_hypotheses = model->h;
  table->n_tests = model->t;
  table->prior = g_memdup2 (model->prior, model->h * sizeof (double));
  table->group = g_memdup2 (model->group, model->h * sizeof (int));
  table->tests = g_new0 (BlPlanTest, model->t);
  table->enter = g_memdup2 (model->enter, sizeof model->enter);
  table->change_lead = model->lead;
  table->state = table->lead = -1;
  table->enough = model->enough;
  table->telling = model->telling;
  for (guint t = 0; t < model->t; t++)
    {
      BlPlanTest *test = &table->tests[t];
      *test = (BlPlanTest){ .cost = model->cost[t], .state = model->state[t], .lead = model->black[t],
                            .n_classes = model->classes };
      test->chance = g_new (double, model->h * model->classes);
      for (guint h = 0; h < model->h; h++)
        memcpy (test->chance + h * model->classes, model->chance[t][h], model->classes * sizeof (double));
    }
  return table;
}

static void
random_model (GRand *rand, gboolean noisy, Model *model)
{
  *model = (Model){ 0 };
  model->h = (guint) g_rand_int_range (rand, 4, 10);
  model->t = (guint) g_rand_int_range (rand, 4, 7);
  model->classes = (guint) g_rand_int_range (rand, 2, 4);
  model->states = (guint) g_rand_int_range (rand, 1, 4);
  model->enough = noisy ? .95 : 1;
  model->telling = noisy ? .01 : 0;
  model->lead = g_rand_double_range (rand, 0, 3);
  for (guint s = 0; s < model->states; s++)
    model->enter[s] = g_rand_double_range (rand, 0, 10);
  for (guint h = 0; h < model->h; h++)
    {
      model->prior[h] = pow (g_rand_double_range (rand, .1, 1), 2);
      model->group[h] = h > 2 && g_rand_int_range (rand, 0, 4) == 0 ? g_rand_int_range (rand, 0, (gint) h) : (gint) h;
    }
  for (guint t = 0; t < model->t; t++)
    {
      model->cost[t] = g_rand_double_range (rand, 1, 10);
      model->state[t] = g_rand_int_range (rand, 0, (gint) model->states);
      model->black[t] = g_rand_int_range (rand, 0, 2);
      double e = noisy ? g_rand_double_range (rand, .005, .1) : 0;
      for (guint h = 0; h < model->h; h++)
        {
          guint shows = (guint) g_rand_int_range (rand, 0, (gint) model->classes);
          for (guint c = 0; c < model->classes; c++)
            model->chance[t][h][c] = c == shows ? 1 - e : e / (model->classes - 1);
        }
    }
}

/* --- the optimum --- */

typedef struct
{
  const Model *model;
  GHashTable *known;
} Best;

static double
model_cost (const Model *model, int last, guint t)
{
  double cost = model->cost[t];
  if (last >= 0 && model->state[t] != model->state[last])
    cost += model->enter[model->state[t]];
  if (last >= 0 && model->black[t] != model->black[last])
    cost += model->lead;
  return cost;
}

static double
information (const Model *model, const double *p, guint t)
{
  double bits = 0;
  for (guint c = 0; c < model->classes; c++)
    {
      double read = 0;
      for (guint h = 0; h < model->h; h++)
        read += p[h] * model->chance[t][h][c];
      for (guint g = 0; g < model->h; g++)
        {
          double joint = 0, alone = 0;
          for (guint h = 0; h < model->h; h++)
            if (model->group[h] == (int) g)
              {
                joint += p[h] * model->chance[t][h][c];
                alone += p[h];
              }
          if (joint > 0)
            bits += joint * log2 (joint / (alone * read));
        }
    }
  return bits;
}

static gboolean
is_found (const Model *model, const double *p)
{
  for (guint g = 0; g < model->h; g++)
    {
      double share = 0;
      for (guint h = 0; h < model->h; h++)
        share += model->group[h] == (int) g ? p[h] : 0;
      if (share >= model->enough - 1e-12)
        return TRUE;
    }
  return FALSE;
}

static double
update (const Model *model, const double *p, guint t, guint c, double *after)
{
  double sum = 0;
  for (guint h = 0; h < model->h; h++)
    sum += after[h] = p[h] * model->chance[t][h][c];
  for (guint h = 0; h < model->h && sum > 0; h++)
    after[h] /= sum;
  return sum;
}

/* done: what each test showed, as digits; a test not taken is 0. */
static double
optimum (Best *best, const double *p, gint64 done, guint taken, int last)
{
  const Model *model = best->model;
  double after[MAX_H], least = INFINITY;
  if (is_found (model, p))
    return 0;
  gint64 key = done * 32 + last + 1;
  double *known = g_hash_table_lookup (best->known, &key);
  if (known != NULL)
    return *known;
  gint64 digit = 1;
  for (guint t = 0; t < model->t; t++, digit *= 4)
    {
      if ((taken >> t & 1) || information (model, p, t) <= MAX (model->telling, 1e-12))
        continue;
      double cost = model_cost (model, last, t);
      for (guint c = 0; c < model->classes; c++)
        {
          double chance = update (model, p, t, c, after);
          if (chance > 0)
            cost += chance * optimum (best, after, done + digit * (c + 1), taken | 1u << t, (int) t);
        }
      least = MIN (least, cost);
    }
  least = isfinite (least) ? least : 0;
  g_hash_table_insert (best->known, g_memdup2 (&key, sizeof key), g_memdup2 (&least, sizeof least));
  return least;
}

static void
normal (const Model *model, double *p)
{
  double sum = 0;
  for (guint h = 0; h < model->h; h++)
    sum += model->prior[h];
  for (guint h = 0; h < model->h; h++)
    p[h] = model->prior[h] / sum;
}

static double
optimum_of (const Model *model)
{
  double p[MAX_H];
  Best best = { model, g_hash_table_new_full (g_int64_hash, g_int64_equal, g_free, g_free) };
  normal (model, p);
  double value = optimum (&best, p, 0, 0, -1);
  g_hash_table_unref (best.known);
  return value;
}

/* --- following the advice --- */

static double
follow (const Model *model, BlPlanTable *table, const double *p, int last, gsize budget)
{
  double after[MAX_H];
  for (guint h = 0; h < model->h; h++)
    table->prior[h] = p[h];
  table->begun = last >= 0;
  table->state = last >= 0 ? model->state[last] : -1;
  table->lead = last >= 0 ? model->black[last] : -1;
  g_autoptr (BlPlanTree) tree = bl_plan_solve (table, budget, NULL, NULL);
  if (tree->first->test < 0)
    return 0;
  guint t = (guint) tree->first->test;
  double cost = model_cost (model, last, t);
  table->tests[t].taken = TRUE;
  for (guint c = 0; c < model->classes; c++)
    {
      double chance = update (model, p, t, c, after);
      if (chance > 0)
        cost += chance * follow (model, table, after, (int) t, budget);
    }
  table->tests[t].taken = FALSE;
  return cost;
}

static double
effort_of (const Model *model, gsize budget)
{
  g_autoptr (BlPlanTable) table = table_of (model);
  double p[MAX_H];
  normal (model, p);
  return follow (model, table, p, -1, budget);
}

/* --- known tables --- */

/* Small system of K. Pattipati and M. Alexandridis, Application of heuristic search and information
 * theory to sequential fault diagnosis, IEEE Trans. SMC 20(4), 1990: data and optimum 2.18 from memory,
 * consistent with each other. */
static void
d_matrix (Model *model)
{
  static const double prior[] = { .70, .01, .02, .10, .05, .12 };
  static const char *const rows[] = { "00000", "01001", "00110", "10011", "11000", "11110" };
  *model = (Model){ .h = 6, .t = 5, .classes = 2, .enough = 1 };
  for (guint h = 0; h < 6; h++)
    {
      model->prior[h] = prior[h];
      model->group[h] = (int) h;
      for (guint t = 0; t < 5; t++)
        model->chance[t][h][rows[h][t] - '0'] = 1;
    }
  for (guint t = 0; t < 5; t++)
    model->cost[t] = 1;
}

/* n stages in a row, one failed; a probe between two of them tells on which side. */
static void
chain (guint n, Model *model)
{
  *model = (Model){ .h = n, .t = n - 1, .classes = 2, .enough = 1 };
  for (guint h = 0; h < n; h++)
    {
      model->prior[h] = 1;
      model->group[h] = (int) h;
      for (guint t = 0; t + 1 < n; t++)
        model->chance[t][h][h <= t] = 1;
    }
  for (guint t = 0; t + 1 < n; t++)
    model->cost[t] = 1;
}

static void
known_tables (gsize budget, const char *name)
{
  Model model;
  d_matrix (&model);
  printf ("%s: 6 x 5 table, published optimum 2.18: %.4f\n", name, effort_of (&model, budget));
  for (guint n = 2; n <= 16; n += n < 8 ? 1 : n < 12 ? 2 : 4)
    {
      chain (n, &model);
      double log = floor (log2 (n)), expected = log + 2 * (n - pow (2, log)) / n;
      printf ("%s: chain of %u, least %.5f: %.5f\n", name, n, expected, effort_of (&model, budget));
    }
}

static void
random_models (gsize budget, const char *name, gboolean noisy)
{
  GRand *rand = g_rand_new_with_seed (31);
  double sum = 0, worst = 0, greedy_sum = 0, greedy_worst = 0;
  guint least = 0, counted = 0;
  for (guint i = 0; i < MODELS; i++)
    {
      Model model;
      random_model (rand, noisy, &model);
      double best = optimum_of (&model);
      if (!(best > 0))
        continue;
      g_autoptr (BlPlanTable) table = table_of (&model);
      g_autoptr (BlPlanTree) tree = bl_plan_solve (table, budget, NULL, NULL);
      double ratio = effort_of (&model, budget) / best;
      least += tree->least;
      sum += ratio;
      worst = MAX (worst, ratio);
      greedy_sum += tree->greedy_effort / best;
      greedy_worst = MAX (greedy_worst, tree->greedy_effort / best);
      counted++;
    }
  printf ("%s: %u random models%s: effort over optimum: mean %.4f worst %.4f (greedy order %.4f, %.4f); "
          "known to be least: %u\n",
          name, counted, noisy ? " with misreading" : "", sum / counted, worst, greedy_sum / counted, greedy_worst,
          least);
  fflush (stdout);
  g_rand_free (rand);
}

/* --- time --- */

/* The plan alone, after so many readings of a board of 480 modes. */
static void
time_plan (guint read)
{
  Shape shape = { g_rand_new_with_seed (7), 8, 4 };
  g_autoptr (GError) error = NULL;
  char *text = make_board (&shape);
  g_autofree char *table = make_table (&shape);
  char *end = table;
  for (guint i = 0; i <= read; i++)
    end = strchr (end, '\n') + 1;
  *end = '\0';
  g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, table, -1, &error);
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  bl_diagnosis_free (bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ODDS, NULL, NULL));
  double begin = cpu_ms ();
  bl_diagnosis_free (bl_engine_diagnose (engine, entries, BL_DIAGNOSE_ODDS, NULL, NULL));
  double odds = cpu_ms () - begin;
  begin = cpu_ms ();
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, BL_DIAGNOSE_PLAN, NULL, &error);
  g_assert_no_error (error);
  printf ("480 modes, %2u of 40 read: plan in %.0f processor ms; %u hypotheses cover %.3f; %.0f s (greedy order "
          "%.0f s)%s\n",
          read, cpu_ms () - begin - odds, diagnosis->plan->table->n_hypotheses, diagnosis->plan->covered,
          diagnosis->plan->tree->first->effort, diagnosis->plan->tree->greedy_effort,
          diagnosis->plan->tree->least ? ", known to be least" : "");
  fflush (stdout);
  free (text);
  g_rand_free (shape.rand);
}

int
main (int argc, char **argv)
{
  const struct { gsize budget; const char *name; } settings[]
    = { { (gsize) 1 << 40, "everything" }, { BL_PLAN_BUDGET, "as the window" }, { FAR_TOO_SMALL, "steps ahead only" } };
  for (guint read = 0; read <= 30; read += 10)
    time_plan (read);
  for (guint i = 0; i < G_N_ELEMENTS (settings); i++)
    {
      double begin = cpu_ms ();
      known_tables (settings[i].budget, settings[i].name);
      random_models (settings[i].budget, settings[i].name, FALSE);
      random_models (settings[i].budget, settings[i].name, TRUE);
      printf ("%s: %.0f processor ms\n", settings[i].name, cpu_ms () - begin);
    }
  return 0;
}
