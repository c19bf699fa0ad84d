/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

/* Boards whose modes act on much, for the benchmarks: an input stage, four rails that feed the rest, a
 * controller, and sections of two to four stages with two feeds each; 40 measurements, 30 of them read
 * with one fault on the board. Three styles of documenting: modes that provoke each other crosswise and have
 * local effects; effects that hold in one state of the board only; and both, with shorts that pull down the feed.
 * Invented. Include once, in a program. */

#include <glib.h>
#include <jansson.h>

typedef enum
{
  STYLE_CROSSWISE,
  STYLE_STATES,
  STYLE_MIXED
} Style;

enum { STYLED_STAGES = 40, STYLED_MEASURES = 40, STYLED_READ = 30 };

typedef struct
{
  GRand *rand;
  Style style;
  guint modes;  /* wanted, at least */
  guint n;      /* stages so far */
  guint feeds[STYLED_STAGES][2], n_feeds[STYLED_STAGES];
  guint on[STYLED_MEASURES]; /* the stage each measurement reads */
} Styled;

static guint
styled_stage (Styled *self, int first, int second)
{
  guint stage = self->n++;
  if (first >= 0)
    self->feeds[stage][self->n_feeds[stage]++] = (guint) first;
  if (second >= 0 && second != first)
    self->feeds[stage][self->n_feeds[stage]++] = (guint) second;
  return stage;
}

static void
styled_stages (Styled *self)
{
  guint bulk = styled_stage (self, (int) styled_stage (self, -1, -1), -1);
  guint primary = styled_stage (self, (int) bulk, (int) styled_stage (self, (int) bulk, -1)), rail = self->n;
  for (guint i = 0; i < 4; i++)
    styled_stage (self, i == 0 || g_rand_boolean (self->rand) ? (int) primary : (int) (rail + i - 1), -1);
  guint clock = styled_stage (self, g_rand_int_range (self->rand, (gint32) rail, (gint32) rail + 4), -1);
  guint last = styled_stage (self, (int) rail + 3, (int) clock);
  for (guint section = 0; section < 5; section++)
    {
      int from = g_rand_boolean (self->rand) ? (int) last : (int) (rail + 4 + section % 2);
      for (gint32 depth = g_rand_int_range (self->rand, 2, 5); depth > 0; depth--)
        from = (int) (last = styled_stage (self, from, g_rand_int_range (self->rand, (gint32) rail, (gint32) rail + 4)));
    }
}

static const char *
some_deviation (GRand *rand)
{
  static const char *const names[] = { "absent", "low", "high", "unsteady" };
  return names[g_rand_int_range (rand, 0, 4)];
}

static json_t *
near_effect (const Styled *self, guint stage)
{
  guint near[STYLED_MEASURES], n = 0;
  for (guint i = 0; i < STYLED_MEASURES; i++)
    if (self->on[i] == stage)
      near[n++] = i;
  return n == 0 ? NULL
                : json_pack ("{s:o, s:s}", "on", json_sprintf ("M%u", near[g_rand_int_range (self->rand, 0, (gint32) n)]),
                             "is", some_deviation (self->rand));
}

static json_t *
styled_effect (const Styled *self, guint stage, gboolean is_short)
{
  double coin = g_rand_double (self->rand);
  json_t *near = coin < (self->style == STYLE_STATES ? .9 : .65) ? near_effect (self, stage) : NULL;
  if (near != NULL)
    return near;
  if (self->style == STYLE_MIXED && is_short && self->n_feeds[stage] > 0 && g_rand_boolean (self->rand))
    return json_pack ("{s:o, s:s}", "on", json_sprintf ("s%u", self->feeds[stage][0]), "is", "low");
  if (self->style == STYLE_STATES || (self->style == STYLE_MIXED && coin < .8))
    return json_pack ("{s:s, s:[o]}", "is", some_deviation (self->rand), "in",
                      json_sprintf ("st%d", g_rand_int_range (self->rand, 1, 3)));
  return json_pack ("{s:s}", "is", some_deviation (self->rand));
}

static json_t *
styled_mode (const Styled *self, guint stage, guint index)
{
  static const char *const names[] = { "open", "short", "drift", "leak" };
  static const int more[] = { 1, 1, 2, 3 };
  json_t *effects = json_pack ("[{s:s}]", "is", some_deviation (self->rand));
  int n = self->style == STYLE_STATES ? 1 : more[g_rand_int_range (self->rand, 0, 4)];
  while (n-- > 0)
    json_array_append_new (effects, styled_effect (self, stage, index % 2 == 1));
  return json_pack ("{s:s, s:f, s:o}", "mode", names[index], "weight", g_rand_double_range (self->rand, .002, .2),
                    "effects", effects);
}

static json_t *
styled_parts (const Styled *self, GArray *homes)
{
  json_t *parts = json_array ();
  for (guint made = 0, i = 0; made < self->modes; i++)
    {
      guint stage = i < 2 * self->n ? i % self->n : (guint) g_rand_int_range (self->rand, 0, (gint32) self->n);
      json_t *modes = json_array ();
      for (gint32 m = 0, n = g_rand_int_range (self->rand, 2, 5); m < n; m++, made++)
        json_array_append_new (modes, styled_mode (self, stage, (guint) m));
      json_array_append_new (parts, json_pack ("{s:o, s:s, s:o, s:o}", "id", json_sprintf ("P%u", i), "kind", "part",
                                               "stage", json_sprintf ("s%u", stage), "modes", modes));
      g_array_append_val (homes, stage);
    }
  return parts;
}

/* One mode in twenty provokes one of another part of its stage or of what feeds it. */
static void
styled_provokes (const Styled *self, json_t *parts, const GArray *homes)
{
  guint wanted = self->style == STYLE_STATES ? 0 : self->modes / 20;
  for (guint tries = 0; wanted > 0 && tries < 10000; tries++)
    {
      guint a = (guint) g_rand_int_range (self->rand, 0, (gint32) homes->len);
      guint b = (guint) g_rand_int_range (self->rand, 0, (gint32) homes->len);
      guint from = g_array_index (homes, guint, a), to = g_array_index (homes, guint, b);
      gboolean feeds = FALSE;
      for (guint i = 0; i < self->n_feeds[from]; i++)
        feeds |= self->feeds[from][i] == to;
      json_t *modes = json_object_get (json_array_get (parts, a), "modes");
      json_t *mode = json_array_get (modes, (gsize) g_rand_int_range (self->rand, 0, (gint32) json_array_size (modes)));
      if (a == b || (from != to && !feeds) || json_object_get (mode, "provokes") != NULL)
        continue;
      json_object_set_new (mode, "provokes",
                           json_pack ("[{s:o, s:s, s:f}]", "component", json_sprintf ("P%u", b), "mode",
                                      g_rand_boolean (self->rand) ? "open" : "short", "chance",
                                      g_rand_double_range (self->rand, .1, .6)));
      wanted--;
    }
}

static json_t *
styled_stage_list (const Styled *self)
{
  json_t *stages = json_array ();
  for (guint s = 0; s < self->n; s++)
    {
      json_t *from = json_array (), *stage = json_pack ("{s:o, s:s}", "id", json_sprintf ("s%u", s), "section", "all");
      for (guint i = 0; i < self->n_feeds[s]; i++)
        json_array_append_new (from, json_sprintf ("s%u", self->feeds[s][i]));
      json_object_set_new (stage, "feeds", json_pack ("{s:o}", "from", from));
      json_array_append_new (stages, stage);
    }
  return stages;
}

static char *
make_styled_board (GRand *rand, Style style, guint modes)
{
  Styled self = { .rand = rand, .style = style, .modes = modes };
  g_autoptr (GArray) homes = g_array_new (FALSE, FALSE, sizeof (guint));
  json_t *measures = json_array ();
  styled_stages (&self);
  for (guint i = 0; i < STYLED_MEASURES; i++)
    {
      self.on[i] = i < self.n ? i : (guint) g_rand_int_range (rand, 0, (gint32) self.n);
      json_array_append_new (measures,
                             json_pack ("{s:o, s:s, s:o, s:o, s:o, s:{s:i, s:f, s:f}}", "id", json_sprintf ("M%u", i),
                                        "measures", "V DC", "state", json_sprintf ("st%u", 1 + i % 2), "black",
                                        json_sprintf ("TP%u", i % 3 == 0), "reads", json_sprintf ("s%u", self.on[i]),
                                        "expected", "nominal", 5, "low", 4.8, "high", 5.2));
    }
  json_t *parts = styled_parts (&self, homes);
  styled_provokes (&self, parts, homes);
  json_t *doc = json_pack ("{s:s, s:i, s:{s:f}, s:[{s:s},{s:s},{s:s}], s:[{s:s,s:s}], s:[{s:s},{s:s}], s:o, s:o, s:o}",
                           "format", "benchlore-board", "version", 1, "odds", "setup", .01, "states", "id", "st0", "id",
                           "st1", "id", "st2", "sections", "id", "all", "kind", "supply", "test_points", "id", "TP0",
                           "id", "TP1", "stages", styled_stage_list (&self), "components", parts, "measurements",
                           measures);
  char *text = json_dumps (doc, 0);
  json_decref (doc);
  return text;
}
