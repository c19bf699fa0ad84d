/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Boards of any size for the benchmarks: sections in cascade, six stages each in a row with some double
 * feeds, five components a stage with two modes; a short also pulls down the stage before and draws
 * excess current that its section's current measurement shows. 40 measurements whatever the size, 30
 * of them read, two black leads, three states. Include once, in a program. */

#include <glib.h>
#include <jansson.h>

enum { STAGES = 6, PARTS = 5, MEASURES = 40, READ = 30 };

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
