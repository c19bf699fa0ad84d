/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How long a diagnosis takes and how much memory it holds, against the size of the board. The boards
 * are generated: sections in cascade, six stages each in a row with some double feeds, five components a
 * stage with two modes; a short also pulls down the stage before and draws excess current that its
 * section's current measurement shows. 40 measurements whatever the size, 30 of them read, two black
 * leads, three states. The wanted times, 16 ms after an entry and 60 ms for the ranking, are for 480
 * modes. */
#include "config.h"

#include "bl-diagnosis.h"
#include "bl-document.h"

#include <jansson.h>
#include <stdio.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>
#undef G_DISABLE_ASSERT

enum { STAGES = 6, PARTS = 5, MEASURES = 40, READ = 30, TIMES = 5 };

typedef struct
{
  GRand *rand;
  guint sections, cross; /* cross: one stage in that many has a double feed */
} Shape;

static json_t *
mode_of (const Shape *shape, guint section, guint stage, guint mode, guint per_current)
{
  static const char *const first[] = { "absent", "low", "high", "unsteady" };
  json_t *effects = json_array ();
  if (mode == 0)
    json_array_append_new (effects, json_pack ("{s:s}", "is", first[g_rand_int_range (shape->rand, 0, 4)]));
  else
    {
      json_array_append_new (effects, json_pack ("{s:s}", "is", "absent"));
      if (stage > 0)
        json_array_append_new (effects, json_pack ("{s:o, s:s}", "on",
                                                   json_sprintf ("s%u.%u", section, stage - 1), "is", "low"));
      if (section % per_current == 0 && section / per_current < 10)
        json_array_append_new (effects, json_pack ("{s:o, s:s}", "on",
                                                   json_sprintf ("I%u", section / per_current), "is", "high"));
    }
  return json_pack ("{s:s, s:f, s:o}", "mode", mode == 0 ? "drift" : "short", "weight",
                    .01 + g_rand_double (shape->rand), "effects", effects);
}

static json_t *
stage_of (const Shape *shape, guint section, guint stage)
{
  json_t *from = json_array ();
  if (stage > 0)
    json_array_append_new (from, json_sprintf ("s%u.%u", section, stage - 1));
  else if (section > 0)
    json_array_append_new (from, json_sprintf ("s%u.%d", section - 1, STAGES - 1));
  if (stage > 1 && shape->cross > 0 && g_rand_int_range (shape->rand, 0, (gint32) shape->cross) == 0)
    json_array_append_new (from, json_sprintf ("s%u.%u", section, stage - 2));
  const char *need = json_array_size (from) > 1 && g_rand_boolean (shape->rand) ? "any" : "all";
  return json_pack ("{s:o, s:s, s:{s:s, s:o}}", "id", json_sprintf ("s%u.%u", section, stage), "section",
                    "all", "feeds", "need", need, "from", from);
}

static json_t *
measure_of (const Shape *shape, guint i)
{
  guint n_volts = MEASURES - 10, place = i * shape->sections * STAGES / n_volts;
  gboolean current = i >= n_volts;
  json_t *m = json_pack ("{s:o, s:s, s:o, s:o, s:{s:i, s:f, s:f}}", "id",
                         json_sprintf (current ? "I%u" : "U%u", current ? i - n_volts : i), "measures",
                         current ? "A DC" : "V DC", "state", json_sprintf ("st%u", i % 3), "black",
                         json_sprintf ("TP%u", i % 2), "expected", "nominal", 5, "low", 4.8, "high", 5.2);
  if (!current)
    json_object_set_new (m, "reads", json_sprintf ("s%u.%u", place / STAGES, place % STAGES));
  return m;
}

static char *
make_board (const Shape *shape)
{
  json_t *stages = json_array (), *parts = json_array (), *measures = json_array ();
  guint per_current = MAX (shape->sections / 10, 1);
  for (guint s = 0; s < shape->sections; s++)
    for (guint t = 0; t < STAGES; t++)
      {
        json_array_append_new (stages, stage_of (shape, s, t));
        for (guint p = 0; p < PARTS; p++)
          json_array_append_new (parts, json_pack ("{s:o, s:s, s:o, s:[o, o]}", "id",
                                                   json_sprintf ("C%u.%u.%u", s, t, p), "kind", "part",
                                                   "stage", json_sprintf ("s%u.%u", s, t), "modes",
                                                   mode_of (shape, s, t, 0, per_current),
                                                   mode_of (shape, s, t, 1, per_current)));
      }
  for (guint i = 0; i < MEASURES; i++)
    json_array_append_new (measures, measure_of (shape, i));
  json_t *doc = json_pack ("{s:s, s:i, s:[{s:s},{s:s},{s:s}], s:[{s:s,s:s}], s:[{s:s},{s:s}], s:o, s:o, s:o}",
                           "format", "benchlore-board", "version", 1, "states", "id", "st0", "id", "st1",
                           "id", "st2", "sections", "id", "all", "kind", "supply", "test_points", "id",
                           "TP0", "id", "TP1", "stages", stages, "components", parts, "measurements",
                           measures);
  char *text = json_dumps (doc, 0);
  json_decref (doc);
  return text;
}

/* Voltages are good up to the middle of the board and absent behind; the current is good. */
static char *
make_table (const Shape *shape)
{
  GString *table = g_string_new ("measurement,reading,meter\n");
  for (guint i = 0; i < READ; i++)
    {
      guint m = (i * 13) % MEASURES; /* 13 and 40 have no common factor: all different */
      if (m >= MEASURES - 10)
        g_string_append_printf (table, "I%u,5,1%%\n", m - (MEASURES - 10));
      else
        g_string_append_printf (table, "U%u,%s,1%%\n", m, m < 15 ? "5" : "0.1");
    }
  return g_string_free (table, FALSE);
}

/* Processor time, so that other work on the machine matters little. */
static double
cpu_ms (void)
{
  struct timespec now;
  clock_gettime (CLOCK_THREAD_CPUTIME_ID, &now);
  return (double) now.tv_sec * 1e3 + (double) now.tv_nsec * 1e-6;
}

static double
run (BlEngine *engine, GPtrArray *entries, BlDiagnoseFlags flags)
{
  g_autoptr (GError) error = NULL;
  double begin = cpu_ms ();
  g_autoptr (BlDiagnosis) diagnosis = bl_engine_diagnose (engine, entries, flags, NULL, &error);
  double ms = cpu_ms () - begin;
  g_assert_no_error (error);
  return ms;
}

static double
best_of (BlEngine *engine, GPtrArray *entries, BlDiagnoseFlags flags)
{
  double best = G_MAXDOUBLE;
  for (guint i = 0; i < TIMES; i++)
    best = MIN (best, run (engine, entries, flags));
  return best;
}

static void
measure_size (guint sections, guint cross)
{
  Shape shape = { g_rand_new_with_seed (7), sections, cross };
  g_autoptr (GError) error = NULL;
  char *text = make_board (&shape);
  g_autofree char *table = make_table (&shape);
  g_autoptr (BlBoard) board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  g_autoptr (GPtrArray) entries = bl_evidence_parse_csv (board, table, -1, &error);
  g_assert_no_error (error);
  g_autoptr (BlEngine) engine = bl_engine_new (board, &error);
  double first = run (engine, entries, BL_DIAGNOSE_ODDS);
  double odds = best_of (engine, entries, BL_DIAGNOSE_ODDS);
  double entry = best_of (engine, entries, BL_DIAGNOSE_WHY | BL_DIAGNOSE_FIT);
  double next = best_of (engine, entries, BL_DIAGNOSE_NEXT) - odds;
  struct rusage usage;
  getrusage (RUSAGE_SELF, &usage);
  printf ("%6u %6u  %9.1f %8.2f %12.2f %9.1f %8.0f\n", sections * STAGES * PARTS * 2, cross, first, odds,
          entry, next, (double) usage.ru_maxrss / 1024);
  fflush (stdout);
  free (text);
  g_rand_free (shape.rand);
}

int
main (int argc, char **argv)
{
  printf ("Best of %d, processor ms. Memory is the largest the process had so far.\n", TIMES);
  printf (" modes  cross   compiled     odds odds+why+fit   ranking   MB\n");
  for (guint cross = 0; cross <= 4; cross += 4)
    for (guint sections = 4; sections <= 64; sections *= 2)
      measure_size (sections, cross);
  return 0;
}
