/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Boards for the benchmarks whose sections are coupled: six stages a section, five components a stage with two
 * modes; a section is fed by up to three before it, of which all, one or two of three are needed; some stages inside
 * have two or three branches, of which one or two are; a short pulls down the stage before, across sections too, and draws the excess
 * current of its section; the drift of one component a stage shows as ripple of its section, some of it of the
 * next one as well. Three outputs, the current and the ripple of a section are measured, 5 a section or
 * as many as wanted spread over all; three of four are read, with one fault on the board, two black leads, three
 * states. Invented. Include once, in a program. */

#include <glib.h>
#include <jansson.h>

enum { COUPLED_STAGES = 6, COUPLED_PARTS = 5 };

typedef struct
{
  GRand *rand;
  guint sections, measures; /* measures: how many in all */
  guint *parent;            /* of each section: the first of those that feed it */
} Coupled;

/* Stage 0 is fed by other sections, the others by the one before it or by n branches of which one, or two of
 * three, are enough. */
static json_t *
coupled_feeds (const Coupled *self, guint section, guint stage, guint branches)
{
  json_t *from = json_array (), *need = NULL;
  if (branches > 1)
    {
      for (guint b = 0; b < branches; b++)
        json_array_append_new (from, json_sprintf ("s%u.%u.%u", section, stage, b));
      need = branches == 3 ? json_integer (2) : json_string ("any");
    }
  else if (stage > 0)
    json_array_append_new (from, json_sprintf ("s%u.%u", section, stage - 1));
  else if (section > 0)
    {
      guint n = (guint) g_rand_int_range (self->rand, 1, (gint32) MIN (section, 3) + 1);
      gint32 dice = g_rand_int_range (self->rand, 0, 3);
      self->parent[section] = section - 1;
      for (guint i = 1; i <= n; i++)
        json_array_append_new (from, json_sprintf ("s%u.%d", section - i, COUPLED_STAGES - 1));
      need = dice == 2 && n == 3 ? json_integer (2) : json_string (dice == 0 ? "any" : "all");
    }
  return need == NULL ? json_pack ("{s:o}", "from", from) : json_pack ("{s:o, s:o}", "need", need, "from", from);
}

static void
coupled_effect (json_t *effects, char prefix, guint section, const char *is)
{
  json_array_append_new (effects, json_pack ("{s:o, s:s}", "on", json_sprintf ("%c%u", prefix, section), "is", is));
}

/* How far apart the sections are that have a current and a ripple measured. */
static guint
coupled_step (const Coupled *self)
{
  return MAX (5 * self->sections / self->measures, 1);
}

static json_t *
coupled_mode (const Coupled *self, guint section, guint stage, guint part, guint mode)
{
  static const char *const drifts[] = { "absent", "low", "high", "unsteady" };
  json_t *effects = json_pack ("[{s:s}]", "is", mode == 1 ? "absent" : drifts[g_rand_int_range (self->rand, 0, 4)]);
  gboolean measured = section % coupled_step (self) == 0;
  if (mode == 1 && stage > 0)
    json_array_append_new (effects, json_pack ("{s:o, s:s}", "on", json_sprintf ("s%u.%u", section, stage - 1), "is",
                                               "low"));
  if (mode == 1 && stage == 0 && section > 0)
    json_array_append_new (effects, json_pack ("{s:o, s:s}", "on",
                                               json_sprintf ("s%u.%d", self->parent[section], COUPLED_STAGES - 1), "is", "low"));
  if (mode == 1 && measured)
    coupled_effect (effects, 'I', section, "high");
  if (mode == 0 && part == 0 && measured)
    coupled_effect (effects, 'R', section, "high");
  if (mode == 0 && part == 0 && measured && section + coupled_step (self) < self->sections
      && g_rand_int_range (self->rand, 0, 3) == 0)
    coupled_effect (effects, 'R', section + coupled_step (self), "high");
  return json_pack ("{s:s, s:f, s:o}", "mode", mode == 0 ? "drift" : "short", "weight",
                    .01 + g_rand_double (self->rand), "effects", effects);
}

static json_t *
coupled_measure (const char *id, const char *kind, guint i, const char *reads)
{
  json_t *m = json_pack ("{s:s, s:s, s:o, s:o, s:{s:i, s:f, s:f}}", "id", id, "measures", kind, "state",
                         json_sprintf ("st%u", i % 3), "black", json_sprintf ("TP%u", i % 2), "expected", "nominal", 5,
                         "low", 4.8, "high", 5.2);
  if (reads != NULL)
    json_object_set_new (m, "reads", json_string (reads));
  return m;
}

static json_t *
coupled_measures (const Coupled *self)
{
  json_t *measures = json_array ();
  guint i = 0;
  for (guint s = 0; s < self->sections; s += coupled_step (self))
    {
      for (guint t = 1; t < COUPLED_STAGES; t += 2, i++)
        {
          g_autofree char *id = g_strdup_printf ("U%u.%u", s, t), *reads = g_strdup_printf ("s%u.%u", s, t);
          json_array_append_new (measures, coupled_measure (id, "V DC", i, reads));
        }
      g_autofree char *current = g_strdup_printf ("I%u", s), *ripple = g_strdup_printf ("R%u", s);
      json_array_append_new (measures, coupled_measure (current, "A DC", i++, NULL));
      json_array_append_new (measures, coupled_measure (ripple, "V pp", i++, NULL));
    }
  return measures;
}

/* A stage and its branches, with its five components: the first of them in the branches. */
static void
coupled_stage (const Coupled *self, guint section, guint stage, json_t *stages, json_t *parts)
{
  gint32 dice = g_rand_int_range (self->rand, 0, 6);
  guint branches = stage == 0 ? 0 : dice == 0 ? 3 : dice == 1 ? 2 : 0;
  for (guint b = 0; b < branches; b++)
    json_array_append_new (stages, json_pack ("{s:o, s:s, s:{s:[o]}}", "id",
                                              json_sprintf ("s%u.%u.%u", section, stage, b), "section", "all", "feeds",
                                              "from", json_sprintf ("s%u.%u", section, stage - 1)));
  json_array_append_new (stages, json_pack ("{s:o, s:s, s:o}", "id", json_sprintf ("s%u.%u", section, stage), "section",
                                            "all", "feeds", coupled_feeds (self, section, stage, branches)));
  for (guint p = 0; p < COUPLED_PARTS; p++)
    {
      json_t *home = p < branches ? json_sprintf ("s%u.%u.%u", section, stage, p)
                                  : json_sprintf ("s%u.%u", section, stage);
      json_array_append_new (parts, json_pack ("{s:o, s:s, s:o, s:[o, o]}", "id",
                                               json_sprintf ("C%u.%u.%u", section, stage, p), "kind", "part", "stage",
                                               home, "modes", coupled_mode (self, section, stage, p, 0),
                                               coupled_mode (self, section, stage, p, 1)));
    }
}

static char *
make_coupled_board (GRand *rand, guint sections, guint n_measures)
{
  g_autofree guint *parent = g_new0 (guint, sections + 1);
  Coupled self = { rand, sections, n_measures, parent };
  json_t *stages = json_array (), *parts = json_array ();
  for (guint s = 0; s < sections; s++)
    for (guint t = 0; t < COUPLED_STAGES; t++)
      coupled_stage (&self, s, t, stages, parts);
  json_t *doc = json_pack ("{s:s, s:i, s:[{s:s},{s:s},{s:s}], s:[{s:s,s:s}], s:[{s:s},{s:s}], s:o, s:o, s:o}",
                           "format", "benchlore-board", "version", 1, "states", "id", "st0", "id", "st1", "id", "st2",
                           "sections", "id", "all", "kind", "supply", "test_points", "id", "TP0", "id", "TP1",
                           "stages", stages, "components", parts, "measurements", coupled_measures (&self));
  char *text = json_dumps (doc, 0);
  json_decref (doc);
  return text;
}
