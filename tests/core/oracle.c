/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Brute force for small models: at most some twenty basic events, each combination played through
 * the rules one by one. Slow and plain on purpose. It understands what test-oracle.c generates:
 * plain numbers, the kinds "V DC", "ohm", "swing" and "check", meters of the form "P%". One long file
 * on purpose: what is read here from top to bottom is all it rests on; it shares nothing with the engine. */
#include "oracle.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

enum
{
  MAX = 24,       /* stages, components, measurements, states, points, sections */
  MAX_MODES = 64,
  MAX_VARS = 120,
  MAX_ROUNDS = 5,
  MAX_CLASSES = 12,
  MAX_READ = 32
};

enum { ABSENT, UNSTEADY, LOW, HIGH };
static const char *const deviations[] = { "absent", "unsteady", "low", "high" };

typedef struct
{
  int stage, measurement;
  guint mask;                  /* stage: bits; measurement: bits of classes */
  guint states;                /* bits of states */
} Effect;

typedef struct
{
  const char *name;
  int comp;
  double weight, prior;
  Effect effects[8];
  int n_effects;
  int provokes[8];
  double chance[8];
  int n_provokes;
  json_t *shows;
} Mode;

typedef struct
{
  char id[40];
  int stage, section, first, n;
} Comp;

typedef struct
{
  int stage; /* -1: port */
  int to[4]; /* -1: in band */
} Feed;

typedef struct
{
  const char *id;
  int section, n_feeds, k;
  Feed feeds[6];
} Stage;

typedef struct
{
  const char *id, *measures;
  int reads, state, black, good, unsteady, n;
  const char *classes[MAX_CLASSES];
  int rank[MAX_CLASSES];
  double misread, effort, low, high, absent_below, shorted_below, open_above;
  double mark_low[4], mark_high[4], swing_min[2], swing_max[2], span_below;
  int n_marks, first_mark;
  gboolean answer, negative;
} Measure;

typedef struct
{
  int m, round;
  double w[MAX_CLASSES];
  gboolean evidence, not_reached, reversed, last;
  int repeats;
  char verdict[40];
} Reading;

typedef struct { int kind, comp, mode, round; } Test;           /* mode -1: good */
typedef struct { int symptom, round; gboolean yes; } Said;

typedef enum { OWN, LINK, SHOW, ELSEWHERE } Kind;
typedef struct
{
  Kind kind;
  int a, b, c, d;
  double p;
} Var;

typedef struct
{
  json_t *doc;
  double faults, elsewhere, other, setup, misreport;
  const char *states[MAX], *sections[MAX], *points[MAX];
  double enter[MAX];
  int n_states, n_sections, n_points, n_stages, n_comps, n_modes, n_measures;
  Stage stages[MAX];
  Comp comps[MAX];
  Mode modes[MAX_MODES];
  Measure measures[MAX];
  /* the job */
  int n_rounds, n_readings, n_tests, n_said;
  char conditions[MAX_ROUNDS][16];
  int version[MAX_ROUNDS][MAX];
  Reading readings[MAX_READ];
  Test tests[MAX_READ];
  Said said[MAX_READ];
  int last_reading;
  /* basic events */
  Var vars[MAX_VARS];
  int n_vars;
  /* setup events: [round][0 black, 1 state][index] in use, number or -1 */
  int setup_of[MAX_ROUNDS][2][MAX];
  int n_setups;
  /* one combination */
  gboolean truth[MAX_VARS];
  gboolean present[MAX_ROUNDS][MAX_MODES], active[MAX_ROUNDS][MAX_MODES];
  /* sums */
  double total, sum_elsewhere, sum_remaining, sum_setup[64];
  double own[MAX_MODES], there[MAX_MODES], comp[MAX], comp_there[MAX], stage[MAX], stage_there[MAX];
  double section[MAX], section_there[MAX];
  double without[MAX_READ], without_comp[MAX_READ][MAX];
  /* sets of own events asked about */
  int n_unions;
  gboolean in_union[ORACLE_UNIONS][MAX_MODES];
  double unions[ORACLE_UNIONS];
  double next[MAX][MAX_CLASSES], next_comp[MAX][MAX_CLASSES][MAX];
  GHashTable *quarrel;
  guint best;
} World;

/* --- reading the document --- */

static int
index_of (json_t *array, const char *id)
{
  size_t i;
  json_t *item;
  if (id != NULL)
    json_array_foreach (array, i, item)
      if (strcmp (json_string_value (json_object_get (item, "id")), id) == 0)
        return (int) i;
  return -1;
}

static double
number (json_t *object, const char *key, double otherwise)
{
  json_t *value = json_object_get (object, key);
  return value != NULL ? json_number_value (value) : otherwise;
}

static const char *
string (json_t *object, const char *key)
{
  return json_string_value (json_object_get (object, key));
}

static int
deviation (const char *name)
{
  for (int d = 0; d < 4; d++)
    if (strcmp (deviations[d], name) == 0)
      return d;
  return -1; /* in band */
}

static void
add_class (Measure *m, const char *name)
{
  m->classes[m->n++] = name;
}

static int
class_of (const Measure *m, const char *name)
{
  for (int i = 0; i < m->n; i++)
    if (strcmp (m->classes[i], name) == 0)
      return i;
  g_error ("no class %s", name);
}

static void
set_ranks (Measure *m, gboolean series)
{
  const char *plain[] = { "absent", "shorted", "open", "unsteady" };
  const char *swapped[] = { "absent", "open", "shorted", "unsteady" };
  const char *rest[] = { "still low", "still high", "still middle", "low", "high", "beyond", "deviates" };
  for (int c = 0; c < m->n; c++)
    {
      for (int i = 0; i < 4; i++)
        if (strcmp ((series ? swapped : plain)[i], m->classes[c]) == 0)
          m->rank[c] = i;
      for (int i = 0; i < 7; i++)
        if (strcmp (rest[i], m->classes[c]) == 0)
          m->rank[c] = 100 + i;
      if (c >= m->first_mark)
        m->rank[c] = 10 + c - m->first_mark;
    }
  m->rank[m->good] = 1000;
}

static void
read_pair (json_t *expected, const char *key, double *pair)
{
  json_t *array = json_object_get (expected, key);
  pair[0] = array ? json_number_value (json_array_get (array, 0)) : NAN;
  pair[1] = array ? json_number_value (json_array_get (array, 1)) : NAN;
}

static void
read_limits (Measure *m, json_t *e)
{
  double nominal = number (e, "nominal", NAN);
  m->low = number (e, "low", NAN);
  m->high = number (e, "high", NAN);
  m->absent_below = number (e, "absent_below", NAN);
  m->shorted_below = number (e, "shorted_below", NAN);
  m->open_above = number (e, "open_above", NAN);
  m->negative = nominal < 0;
  if (m->negative)
    {
      double swap = m->low;
      m->low = -m->high;
      m->high = -swap;
      nominal = -nominal;
    }
  if (isnan (m->absent_below) && strcmp (m->measures, "V DC") == 0 && nominal > 0 && m->low > 0)
    m->absent_below = nominal / 10;
  if (isnan (m->shorted_below) && nominal > 0)
    m->shorted_below = nominal / 10;
  if (isnan (m->open_above) && nominal > 0)
    m->open_above = nominal * 10;
  json_t *answer = json_object_get (e, "answer");
  m->answer = answer == NULL || json_is_true (answer);
  read_pair (e, "min", m->swing_min);
  read_pair (e, "max", m->swing_max);
  m->span_below = number (e, "span_below", 0);
}

static void
read_measure (World *world, Measure *m, json_t *source)
{
  json_t *e = json_object_get (source, "expected"), *mark;
  size_t i;
  m->id = string (source, "id");
  m->measures = string (source, "measures");
  m->reads = index_of (json_object_get (world->doc, "stages"), string (source, "reads"));
  m->state = index_of (json_object_get (world->doc, "states"), string (source, "state"));
  m->black = index_of (json_object_get (world->doc, "test_points"), string (source, "black"));
  m->misread = number (source, "misread", .02);
  m->effort = number (source, "effort_s", 20);
  m->unsteady = -1;
  if (strcmp (m->measures, "V DC") == 0)
    for (const char *const *c = (const char *[]){ "absent", "low", "in band", "high", "unsteady", NULL };
         *c != NULL; c++)
      add_class (m, *c);
  else if (strcmp (m->measures, "ohm") == 0)
    for (const char *const *c
         = (const char *[]){ "shorted", "low", "in band", "high", "open", "unsteady", NULL };
         *c != NULL; c++)
      add_class (m, *c);
  else if (strcmp (m->measures, "swing") == 0)
    for (const char *const *c = (const char *[]){ "still low", "still middle", "still high", "low",
                                                  "high", "beyond", "in band", NULL };
         *c != NULL; c++)
      add_class (m, *c);
  else
    {
      add_class (m, "as expected");
      add_class (m, "deviates");
    }
  for (int c = 0; c < m->n; c++)
    {
      if (strcmp (m->classes[c], "in band") == 0 || strcmp (m->classes[c], "as expected") == 0)
        m->good = c;
      if (strcmp (m->classes[c], "unsteady") == 0)
        m->unsteady = c;
    }
  m->first_mark = m->n;
  json_array_foreach (json_object_get (e, "marks"), i, mark)
    {
      m->mark_low[m->n_marks] = number (mark, "low", -INFINITY);
      m->mark_high[m->n_marks++] = number (mark, "high", INFINITY);
      add_class (m, string (mark, "id"));
    }
  set_ranks (m, json_is_true (json_object_get (source, "series")));
  read_limits (m, e);
}

static void
read_passes (json_t *passes, int *to, gboolean *set)
{
  const char *key;
  json_t *value;
  json_object_foreach (passes, key, value)
    {
      int d = deviation (key);
      if (!set[d])
        to[d] = deviation (json_string_value (value));
      set[d] = TRUE;
    }
}

static void
read_stage (World *world, Stage *s, json_t *source)
{
  json_t *feeds = json_object_get (source, "feeds"), *from, *need = json_object_get (feeds, "need");
  size_t i;
  s->id = string (source, "id");
  s->section = index_of (json_object_get (world->doc, "sections"), string (source, "section"));
  json_array_foreach (json_object_get (feeds, "from"), i, from)
    {
      Feed *feed = &s->feeds[s->n_feeds++];
      const char *id = json_is_string (from) ? json_string_value (from) : string (from, "stage");
      gboolean set[4] = { FALSE };
      for (int d = 0; d < 4; d++)
        feed->to[d] = d;
      feed->stage = g_str_has_prefix (id, "port:")
                      ? -1 : index_of (json_object_get (world->doc, "stages"), id);
      if (json_is_object (from))
        read_passes (json_object_get (from, "passes"), feed->to, set);
      read_passes (json_object_get (source, "passes"), feed->to, set);
    }
  s->k = s->n_feeds;
  if (json_is_integer (need))
    s->k = (int) json_integer_value (need);
  else if (need != NULL && strcmp (json_string_value (need), "any") == 0)
    s->k = 1;
}

static void
read_effect (World *world, Mode *mode, json_t *source)
{
  Effect *effect = &mode->effects[mode->n_effects++];
  const char *on = string (source, "on");
  json_t *is = json_object_get (source, "is"), *in = json_object_get (source, "in"), *item;
  size_t i;
  effect->measurement = -1;
  effect->stage = on == NULL ? world->comps[mode->comp].stage
                             : index_of (json_object_get (world->doc, "stages"), on);
  if (effect->stage < 0)
    effect->measurement = index_of (json_object_get (world->doc, "measurements"), on);
  for (i = 0; i < (json_is_array (is) ? json_array_size (is) : 1); i++)
    {
      const char *name = json_string_value (json_is_array (is) ? json_array_get (is, i) : is);
      effect->mask |= 1u << (effect->stage >= 0
                               ? deviation (name)
                               : class_of (&world->measures[effect->measurement], name));
    }
  effect->states = in == NULL ? ~0u : 0;
  json_array_foreach (in, i, item)
    effect->states |= 1u << index_of (json_object_get (world->doc, "states"), json_string_value (item));
}

static int
find_mode (World *world, const char *comp, const char *mode)
{
  for (int i = 0; i < world->n_modes; i++)
    if (strcmp (world->comps[world->modes[i].comp].id, comp) == 0
        && strcmp (world->modes[i].name, mode) == 0)
      return i;
  g_error ("no mode %s:%s", comp, mode);
}

static void
read_component (World *world, json_t *source)
{
  Comp *comp = &world->comps[world->n_comps];
  json_t *mode, *effect;
  size_t i, j;
  g_strlcpy (comp->id, string (source, "id"), sizeof comp->id);
  comp->stage = index_of (json_object_get (world->doc, "stages"), string (source, "stage"));
  comp->section = world->stages[comp->stage].section;
  comp->first = world->n_modes;
  json_array_foreach (json_object_get (source, "modes"), i, mode)
    {
      Mode *m = &world->modes[world->n_modes++];
      m->name = string (mode, "mode");
      m->comp = world->n_comps;
      m->weight = number (mode, "weight", NAN);
      m->shows = json_object_get (mode, "shows");
      json_array_foreach (json_object_get (mode, "effects"), j, effect)
        read_effect (world, m, effect);
      comp->n++;
    }
  world->n_comps++;
}

static void
read_provokes (World *world)
{
  json_t *comp, *mode, *link;
  size_t i, j, k;
  int at = 0;
  json_array_foreach (json_object_get (world->doc, "components"), i, comp)
    json_array_foreach (json_object_get (comp, "modes"), j, mode)
      {
        Mode *m = &world->modes[at++];
        json_array_foreach (json_object_get (mode, "provokes"), k, link)
          {
            m->chance[m->n_provokes] = number (link, "chance", 1);
            m->provokes[m->n_provokes++] = find_mode (world, string (link, "component"),
                                                      string (link, "mode"));
          }
      }
}

static void
add_other (World *world, int stage, double weight)
{
  const char *names[] = { "absent", "low", "unsteady", "high" };
  double share[] = { .55, .2, .15, .1 };
  Comp *comp = &world->comps[world->n_comps];
  g_snprintf (comp->id, sizeof comp->id, "%s/other", world->stages[stage].id);
  comp->stage = stage;
  comp->section = world->stages[stage].section;
  comp->first = world->n_modes;
  comp->n = 4;
  for (int i = 0; i < 4; i++)
    {
      Mode *m = &world->modes[world->n_modes++];
      m->name = names[i];
      m->comp = world->n_comps;
      m->weight = weight * share[i];
      m->n_effects = 1;
      m->effects[0] = (Effect){ stage, -1, 1u << deviation (names[i]), ~0u };
    }
  world->n_comps++;
}

static void
read_document (World *world)
{
  json_t *odds = json_object_get (world->doc, "odds"), *item;
  double sum = 0, all = 0;
  size_t i;
  world->faults = number (odds, "faults", .2);
  world->elsewhere = number (odds, "elsewhere", .15);
  world->other = number (odds, "other", .1);
  world->setup = number (odds, "setup", .01);
  world->misreport = number (odds, "misreport", .05);
  json_array_foreach (json_object_get (world->doc, "states"), i, item)
    {
      world->enter[world->n_states] = number (item, "enter_s", 60);
      world->states[world->n_states++] = string (item, "id");
    }
  json_array_foreach (json_object_get (world->doc, "sections"), i, item)
    world->sections[world->n_sections++] = string (item, "id");
  json_array_foreach (json_object_get (world->doc, "test_points"), i, item)
    world->points[world->n_points++] = string (item, "id");
  json_array_foreach (json_object_get (world->doc, "measurements"), i, item)
    read_measure (world, &world->measures[world->n_measures++], item);
  json_array_foreach (json_object_get (world->doc, "stages"), i, item)
    read_stage (world, &world->stages[world->n_stages++], item);
  json_array_foreach (json_object_get (world->doc, "components"), i, item)
    read_component (world, item);
  read_provokes (world);
  for (int m = 0; m < world->n_modes; m++)
    sum += world->modes[m].weight;
  for (int s = 0; s < world->n_stages; s++)
    add_other (world, s, world->other * (sum > 0 ? sum : 1) / world->n_stages);
  for (int m = 0; m < world->n_modes; m++)
    all += world->modes[m].weight;
  for (int m = 0; m < world->n_modes; m++)
    world->modes[m].prior = 1 - exp (-world->faults * world->modes[m].weight / all);
}

/* --- judging --- */

static int
class_at (const Measure *m, double v)
{
  for (int i = 0; i < m->n_marks; i++)
    if (v >= m->mark_low[i] && v <= m->mark_high[i])
      return m->first_mark + i;
  if (strcmp (m->measures, "V DC") == 0)
    {
      if (!isnan (m->absent_below) && v < m->absent_below)
        return class_of (m, "absent");
    }
  else if (!isnan (m->shorted_below) && v < m->shorted_below)
    return class_of (m, "shorted");
  else if (!isnan (m->open_above) && v > m->open_above)
    return class_of (m, "open");
  if (!isnan (m->low) && v < m->low)
    return class_of (m, "low");
  if (!isnan (m->high) && v > m->high)
    return class_of (m, "high");
  return m->good;
}

static double
below (double x, double v, double u)
{
  return .5 * erfc ((v - x) / (u * G_SQRT2));
}

/* Weights of a value with an uncertainty: the normal distribution between neighbouring limits. */
static void
spread (const Measure *m, double v, double u, double *w)
{
  double cuts[16];
  int n = 0;
  double limits[] = { m->absent_below, m->shorted_below, m->low, m->high, m->open_above };
  cuts[n++] = -INFINITY;
  for (int i = 0; i < 5; i++)
    if (!isnan (limits[i]))
      cuts[n++] = limits[i];
  for (int i = 0; i < m->n_marks; i++)
    {
      cuts[n++] = m->mark_low[i];
      cuts[n++] = m->mark_high[i];
    }
  cuts[n++] = INFINITY;
  for (int i = 0; i < n; i++)
    for (int j = i + 1; j < n; j++)
      if (cuts[j] < cuts[i])
        {
          double swap = cuts[i];
          cuts[i] = cuts[j];
          cuts[j] = swap;
        }
  for (int i = 0; i + 1 < n; i++)
    if (cuts[i + 1] > cuts[i])
      {
        double middle = isinf (cuts[i]) ? (isinf (cuts[i + 1]) ? 0 : cuts[i + 1] - 1)
                        : isinf (cuts[i + 1]) ? cuts[i] + 1 : (cuts[i] + cuts[i + 1]) / 2;
        w[class_at (m, middle)] += (isinf (cuts[i + 1]) ? 1 : below (cuts[i + 1], v, u))
                                   - (isinf (cuts[i]) ? 0 : below (cuts[i], v, u));
      }
}

static void
judge_swing (const Measure *m, double lo, double hi, double *w)
{
  double centre = (lo + hi) / 2;
  const char *name = "in band";
  if (hi - lo < m->span_below)
    name = centre <= m->swing_min[1] ? "still low" : centre >= m->swing_max[0] ? "still high"
                                                                                : "still middle";
  else if (hi < m->swing_max[0])
    name = "low";
  else if (lo > m->swing_min[1])
    name = "high";
  else if (lo < m->swing_min[0] || hi > m->swing_max[1])
    name = "beyond";
  w[class_of (m, name)] = 1;
}

static void
judge (const Measure *m, Reading *reading, const char *text, const char *meter)
{
  char *end;
  reading->evidence = TRUE;
  if (strcmp (text, "-") == 0)
    {
      reading->evidence = FALSE;
      reading->not_reached = TRUE;
      g_strlcpy (reading->verdict, "not reached", sizeof reading->verdict);
      return;
    }
  const char *dots = strstr (text, "..");
  if (strcmp (m->measures, "check") == 0)
    reading->w[(strcmp (text, "yes") == 0) == m->answer ? 0 : 1] = 1;
  else if (strcmp (m->measures, "swing") == 0)
    judge_swing (m, strtod (text, &end), strtod (dots + 2, NULL), reading->w);
  else if (dots != NULL)
    reading->w[m->unsteady] = 1;
  else if (strcmp (text, "OL") == 0)
    reading->w[class_at (m, 1e300)] = 1;
  else
    {
      double v = strtod (text, &end) * (m->negative ? -1 : 1);
      double u = strtod (meter, &end) * fabs (v) / 100 / sqrt (3);
      if (strcmp (m->measures, "V DC") == 0 && v <= -m->absent_below)
        {
          reading->evidence = FALSE;
          reading->reversed = TRUE;
          g_strlcpy (reading->verdict, "reversed", sizeof reading->verdict);
          return;
        }
      if (u > 0)
        spread (m, v, u, reading->w);
      else
        reading->w[class_at (m, v)] = 1;
    }
  g_strlcpy (reading->verdict, "too close to call", sizeof reading->verdict);
  for (int c = 0; c < m->n; c++)
    if (reading->w[c] >= .95)
      g_strlcpy (reading->verdict, m->classes[c], sizeof reading->verdict);
}

static int
likeliest (const World *world, const Reading *reading)
{
  int best = 0;
  for (int c = 1; c < world->measures[reading->m].n; c++)
    if (reading->w[c] > reading->w[best])
      best = c;
  return best;
}

/* --- reading the table --- */

static int
find_comp (World *world, const char *id)
{
  for (int i = 0; i < world->n_comps; i++)
    if (strcmp (world->comps[i].id, id) == 0)
      return i;
  g_error ("no component %s", id);
}

static void
begin_round (World *world)
{
  int r = world->n_rounds++;
  memcpy (world->conditions[r], world->conditions[r - 1], sizeof world->conditions[r]);
  memcpy (world->version[r], world->version[r - 1], sizeof world->version[r]);
}

static void
read_line (World *world, char **cell)
{
  if (g_str_has_prefix (cell[0], "part:") && strcmp (cell[1], "replaced") == 0)
    {
      begin_round (world);
      world->version[world->n_rounds - 1][find_comp (world, cell[0] + 5)]++;
    }
  else if (g_str_has_prefix (cell[0], "part:"))
    {
      int comp = find_comp (world, cell[0] + 5);
      world->tests[world->n_tests++]
        = (Test){ 0, comp, strcmp (cell[1], "good") == 0 ? -1 : find_mode (world, cell[0] + 5, cell[1]),
                  world->n_rounds - 1 };
    }
  else if (strcmp (cell[0], "round") == 0)
    {
      begin_round (world);
      g_strlcpy (world->conditions[world->n_rounds - 1], cell[1], sizeof world->conditions[0]);
    }
  else if (g_str_has_prefix (cell[0], "symptom:"))
    world->said[world->n_said++]
      = (Said){ index_of (json_object_get (world->doc, "symptoms"), cell[0] + 8), world->n_rounds - 1,
                strcmp (cell[1], "yes") == 0 };
  else
    {
      Reading *reading = &world->readings[world->n_readings++];
      reading->m = index_of (json_object_get (world->doc, "measurements"), cell[0]);
      reading->round = world->n_rounds - 1;
      judge (&world->measures[reading->m], reading, cell[1], cell[2]);
    }
}

static void
read_table (World *world, const char *table)
{
  g_auto (GStrv) lines = g_strsplit (table, "\n", -1);
  world->n_rounds = 1;
  world->last_reading = -1;
  for (int i = 1; lines[i] != NULL; i++)
    {
      g_auto (GStrv) cell = g_strsplit (lines[i], ",", 3);
      if (lines[i][0] != '\0')
        read_line (world, cell);
    }
  /* the last reading of each measurement in each round counts; the last m alike make a misreading
   * less likely */
  for (int i = 0; i < world->n_readings; i++)
    {
      Reading *self = &world->readings[i];
      if (!self->evidence)
        continue;
      world->last_reading = i;
      self->last = TRUE;
      self->repeats = 1;
      for (int j = i + 1; j < world->n_readings; j++)
        {
          const Reading *later = &world->readings[j];
          if (later->evidence && later->m == self->m && later->round == self->round)
            self->last = FALSE;
        }
      for (int j = i - 1; j >= 0; j--)
        {
          const Reading *before = &world->readings[j];
          if (!before->evidence || before->m != self->m || before->round != self->round)
            continue;
          if (likeliest (world, before) != likeliest (world, self))
            break;
          self->repeats++;
        }
    }
}

/* --- basic events --- */

static double
shows (const World *world, int mode, int round)
{
  json_t *table = world->modes[mode].shows;
  if (table == NULL)
    return 1;
  json_t *value = json_object_get (table, world->conditions[round]);
  if (value == NULL)
    value = json_object_get (table, "");
  return value == NULL ? 1 : json_number_value (value);
}

static void
add_var (World *world, Kind kind, int a, int b, int c, int d, double p)
{
  for (int i = 0; i < world->n_vars; i++)
    {
      const Var *v = &world->vars[i];
      if (v->kind == kind && v->a == a && v->b == b && v->c == c && v->d == d)
        return;
    }
  if (p <= 0 || p >= 1)
    return;
  g_assert_cmpint (world->n_vars, <, MAX_VARS);
  world->vars[world->n_vars++] = (Var){ kind, a, b, c, d, p };
}

/* Truth of an event: those that are certain have no variable. */
static gboolean
is_true (const World *world, Kind kind, int a, int b, int c, int d, double p)
{
  for (int i = 0; i < world->n_vars; i++)
    {
      const Var *v = &world->vars[i];
      if (v->kind == kind && v->a == a && v->b == b && v->c == c && v->d == d)
        return world->truth[i];
    }
  return p >= 1;
}

static double
own_prior (const World *world, int mode, int version)
{
  return world->modes[mode].prior / (version > 0 ? 10 : 1);
}

static void
make_vars (World *world)
{
  for (int r = 0; r < world->n_rounds; r++)
    for (int m = 0; m < world->n_modes; m++)
      {
        const Mode *mode = &world->modes[m];
        int version = world->version[r][mode->comp];
        add_var (world, OWN, m, version, 0, 0, own_prior (world, m, version));
        add_var (world, SHOW, m, r, 0, 0, shows (world, m, r));
        for (int l = 0; l < mode->n_provokes; l++)
          add_var (world, LINK, m, l, version,
                   world->version[r][world->modes[mode->provokes[l]].comp], mode->chance[l]);
      }
  add_var (world, ELSEWHERE, 0, 0, 0, 0, world->elsewhere);
}

static void
make_setups (World *world)
{
  memset (world->setup_of, -1, sizeof world->setup_of);
  for (int i = 0; i < world->n_readings; i++)
    {
      const Reading *reading = &world->readings[i];
      const Measure *m = &world->measures[reading->m];
      if (!reading->last)
        continue;
      if (m->black >= 0 && world->setup_of[reading->round][0][m->black] < 0)
        world->setup_of[reading->round][0][m->black] = world->n_setups++;
      if (world->setup_of[reading->round][1][m->state] < 0)
        world->setup_of[reading->round][1][m->state] = world->n_setups++;
    }
}

/* --- one combination --- */

static void
find_present (World *world, int round)
{
  gboolean *present = world->present[round], again = TRUE;
  for (int m = 0; m < world->n_modes; m++)
    {
      int version = world->version[round][world->modes[m].comp];
      present[m] = is_true (world, OWN, m, version, 0, 0, own_prior (world, m, version));
    }
  while (again)
    {
      again = FALSE;
      for (int m = 0; m < world->n_modes; m++)
        for (int l = 0; present[m] && l < world->modes[m].n_provokes; l++)
          {
            int to = world->modes[m].provokes[l];
            if (!present[to]
                && is_true (world, LINK, m, l, world->version[round][world->modes[m].comp],
                            world->version[round][world->modes[to].comp], world->modes[m].chance[l]))
              present[to] = again = TRUE;
          }
    }
  for (int m = 0; m < world->n_modes; m++)
    world->active[round][m] = present[m] && is_true (world, SHOW, m, round, 0, 0, shows (world, m, round));
}

/* Deviations of a stage as bits; state -1: every effect holds. */
static guint
stage_mask (const World *world, int stage, int state, int round)
{
  const Stage *s = &world->stages[stage];
  guint mask = 0;
  for (int m = 0; m < world->n_modes; m++)
    for (int e = 0; world->active[round][m] && e < world->modes[m].n_effects; e++)
      {
        const Effect *effect = &world->modes[m].effects[e];
        if (effect->stage == stage && (state < 0 || (effect->states >> state & 1)))
          mask |= effect->mask;
      }
  guint feeds[6] = { 0 };
  for (int f = 0; f < s->n_feeds; f++)
    {
      guint from = s->feeds[f].stage < 0 ? 0 : stage_mask (world, s->feeds[f].stage, state, round);
      for (int d = 0; d < 4; d++)
        if ((from >> d & 1) && s->feeds[f].to[d] >= 0)
          feeds[f] |= 1u << s->feeds[f].to[d];
    }
  for (int d = 0; d < 4; d++)
    {
      int before = 0, into = 0;
      for (int f = 0; f < s->n_feeds; f++)
        {
          gboolean any = FALSE;
          for (int b = 0; b <= d; b++)
            any |= feeds[f] >> b & 1;
          before += any;
          into += feeds[f] >> d & 1;
        }
      if (s->n_feeds > 0 && before >= s->n_feeds - s->k + 1 && into >= 1)
        mask |= 1u << d;
    }
  return mask;
}

/* Classes of a measurement that are true, as bits. */
static guint
class_mask (const World *world, int measure, int state, int round)
{
  const Measure *m = &world->measures[measure];
  guint classes = 0;
  for (int i = 0; i < world->n_modes; i++)
    for (int e = 0; world->active[round][i] && e < world->modes[i].n_effects; e++)
      {
        const Effect *effect = &world->modes[i].effects[e];
        if (effect->measurement == measure && (state < 0 || (effect->states >> state & 1)))
          classes |= effect->mask;
      }
  guint mask = m->reads < 0 ? 0 : stage_mask (world, m->reads, state, round);
  for (int d = 0; d < 4; d++)
    if (mask >> d & 1)
      {
        const char *name = deviations[d];
        if (strcmp (m->measures, "check") == 0)
          name = "deviates";
        else if (strcmp (m->measures, "swing") == 0 && d == ABSENT)
          name = "still low";
        else if (strcmp (m->measures, "swing") == 0 && d == UNSTEADY)
          name = "low";
        classes |= 1u << class_of (m, name);
      }
  return classes;
}

static int
class_shown (const World *world, int measure, int round)
{
  const Measure *m = &world->measures[measure];
  guint classes = class_mask (world, measure, m->state, round);
  int best = m->good;
  for (int c = 0; c < m->n; c++)
    if ((classes >> c & 1) && m->rank[c] < m->rank[best])
      best = c;
  return best;
}

static double
conf (const Measure *m, double e, int k, int j)
{
  double p[MAX_CLASSES];
  for (int c = 0; c < m->n; c++)
    if (k == m->good)
      p[c] = c == k ? 1 - e / 4 : e / 4 / (m->n - 1);
    else if (k == m->unsteady)
      p[c] = c == k || c == m->good ? (1 - e) / 2 : e / (m->n - 2);
    else if (c == m->good)
      p[c] = e;
    else if (c == k)
      p[c] = m->n > 2 ? 1 - e - .1 : 1 - e;
    else
      p[c] = .1 / (m->n - 2);
  return p[j];
}

static double
likelihood (const World *world, const Reading *reading, int k)
{
  const Measure *m = &world->measures[reading->m];
  double sum = 0;
  for (int j = 0; j < m->n; j++)
    sum += conf (m, pow (m->misread, reading->repeats), k, j) * reading->w[j];
  return sum;
}

static gboolean
symptom_true (const World *world, const Said *said)
{
  json_t *symptom = json_array_get (json_object_get (world->doc, "symptoms"), said->symptom), *when;
  size_t i, j;
  json_array_foreach (json_object_get (symptom, "when"), i, when)
    {
      const char *on = string (when, "on");
      int stage = index_of (json_object_get (world->doc, "stages"), on);
      int state = index_of (json_object_get (world->doc, "states"), string (when, "state"));
      json_t *is = json_object_get (when, "is");
      for (j = 0; j < (json_is_array (is) ? json_array_size (is) : 1); j++)
        {
          const char *name = json_string_value (json_is_array (is) ? json_array_get (is, j) : is);
          int measure = index_of (json_object_get (world->doc, "measurements"), on);
          if (stage >= 0 ? stage_mask (world, stage, state, said->round) >> deviation (name) & 1
                         : class_mask (world, measure, state, said->round)
                             >> class_of (&world->measures[measure], name) & 1)
            return TRUE;
        }
    }
  return FALSE;
}

static gboolean
test_agrees (const World *world, const Test *test)
{
  const Comp *comp = &world->comps[test->comp];
  if (test->mode >= 0)
    return world->present[test->round][test->mode];
  for (int m = comp->first; m < comp->first + comp->n; m++)
    if (world->present[test->round][m])
      return FALSE;
  return TRUE;
}

/* --- sums --- */

typedef struct
{
  double p; /* of the combination and all evidence but the readings */
  gboolean comp[MAX];
} Weighed;

static void
add_results (World *world, const Weighed *at, double p, guint wrong)
{
  int last = world->n_rounds - 1;
  gboolean any = FALSE, stage[MAX] = { FALSE }, section[MAX] = { FALSE }, some[ORACLE_UNIONS] = { FALSE };
  gboolean stage_there[MAX] = { FALSE }, section_there[MAX] = { FALSE }, comp_there[MAX] = { FALSE };
  world->total += p;
  for (int s = 0; s < world->n_setups; s++)
    if (wrong >> s & 1)
      world->sum_setup[s] += p;
  if (is_true (world, ELSEWHERE, 0, 0, 0, 0, world->elsewhere))
    world->sum_elsewhere += p;
  for (int m = 0; m < world->n_modes; m++)
    {
      const Comp *comp = &world->comps[world->modes[m].comp];
      int version = world->version[last][world->modes[m].comp];
      gboolean own = is_true (world, OWN, m, version, 0, 0, own_prior (world, m, version));
      gboolean there = world->present[last][m];
      world->own[m] += own ? p : 0;
      world->there[m] += there ? p : 0;
      any |= there;
      for (int u = 0; u < world->n_unions; u++)
        some[u] |= own && world->in_union[u][m];
      stage[comp->stage] |= own;
      stage_there[comp->stage] |= there;
      section[comp->section] |= own;
      section_there[comp->section] |= there;
      comp_there[world->modes[m].comp] |= there;
    }
  world->sum_remaining += any ? p : 0;
  for (int u = 0; u < world->n_unions; u++)
    world->unions[u] += some[u] ? p : 0;
  for (int c = 0; c < world->n_comps; c++)
    {
      world->comp[c] += at->comp[c] ? p : 0;
      world->comp_there[c] += comp_there[c] ? p : 0;
    }
  for (int s = 0; s < world->n_stages; s++)
    {
      world->stage[s] += stage[s] ? p : 0;
      world->stage_there[s] += stage_there[s] ? p : 0;
    }
  for (int s = 0; s < world->n_sections; s++)
    {
      world->section[s] += section[s] ? p : 0;
      world->section_there[s] += section_there[s] ? p : 0;
    }
}

static gboolean
is_wrong (const World *world, int measure, int round, guint wrong)
{
  const Measure *m = &world->measures[measure];
  int black = m->black >= 0 ? world->setup_of[round][0][m->black] : -1;
  int state = world->setup_of[round][1][m->state];
  return (black >= 0 && (wrong >> black & 1)) || (state >= 0 && (wrong >> state & 1));
}

static void
add_next (World *world, const Weighed *at, double p, guint wrong, const int *shown)
{
  int last = world->n_rounds - 1;
  for (int m = 0; m < world->n_measures; m++)
    {
      const Measure *measure = &world->measures[m];
      double right = 1;
      if (measure->black >= 0 && world->setup_of[last][0][measure->black] < 0)
        right *= 1 - world->setup;
      if (world->setup_of[last][1][measure->state] < 0)
        right *= 1 - world->setup;
      if (is_wrong (world, m, last, wrong))
        right = 0;
      for (int j = 0; j < measure->n; j++)
        {
          double q = p * (right * conf (measure, measure->misread, shown[m], j)
                          + (1 - right) / measure->n);
          world->next[m][j] += q;
          for (int c = 0; c < world->n_comps; c++)
            world->next_comp[m][j][c] += at->comp[c] ? q : 0;
        }
    }
}

/* All readings, for every combination of wrong setups. */
static void
weigh_setups (World *world, const Weighed *at)
{
  double like[MAX_READ];
  int shown[MAX];
  for (int i = 0; i < world->n_readings; i++)
    if (world->readings[i].last)
      like[i] = likelihood (world, &world->readings[i],
                            class_shown (world, world->readings[i].m, world->readings[i].round));
  for (int m = 0; m < world->n_measures; m++)
    shown[m] = class_shown (world, m, world->n_rounds - 1);
  for (guint wrong = 0; wrong < 1u << world->n_setups; wrong++)
    {
      double p = at->p, l[MAX_READ];
      for (int s = 0; s < world->n_setups; s++)
        p *= (wrong >> s & 1) ? world->setup : 1 - world->setup;
      if (p == 0)
        continue;
      for (int i = 0; i < world->n_readings; i++)
        {
          const Reading *reading = &world->readings[i];
          l[i] = !reading->last ? 1
                 : is_wrong (world, reading->m, reading->round, wrong)
                   ? 1.0 / world->measures[reading->m].n : like[i];
        }
      double all = p;
      for (int i = 0; i < world->n_readings; i++)
        all *= l[i];
      for (int i = 0; i < world->n_readings; i++)
        {
          double rest = p;
          for (int j = 0; j < world->n_readings; j++)
            rest *= j == i ? 1 : l[j];
          world->without[i] += rest;
          for (int c = 0; c < world->n_comps; c++)
            world->without_comp[i][c] += at->comp[c] ? rest : 0;
        }
      add_results (world, at, all, wrong);
      add_next (world, at, all, wrong, shown);
    }
}

/* --- fit --- */

static void
try_fit (World *world)
{
  int comps[3], n = 0;
  for (int i = 0; i < world->n_vars; i++)
    {
      const Var *v = &world->vars[i];
      if (!world->truth[i])
        continue;
      if (v->kind == ELSEWHERE || (v->kind == OWN && n == 2))
        return;
      if (v->kind == OWN)
        comps[n++] = world->modes[v->a].comp;
    }
  if (n == 2 && comps[0] == comps[1])
    return;
  for (int i = 0; i < world->n_tests; i++)
    if (!test_agrees (world, &world->tests[i]))
      return;
  for (int i = 0; i < world->n_said; i++)
    if (symptom_true (world, &world->said[i]) != world->said[i].yes)
      return;
  guint violated = 0, count = 0;
  for (int i = 0; i < world->n_readings; i++)
    {
      const Reading *reading = &world->readings[i];
      if (reading->last && !(reading->w[class_shown (world, reading->m, reading->round)] >= .05))
        {
          violated |= 1u << i;
          count++;
        }
    }
  if (count > world->best)
    return;
  if (count < world->best)
    g_hash_table_remove_all (world->quarrel);
  world->best = count;
  g_hash_table_add (world->quarrel, GUINT_TO_POINTER (violated));
}

/* --- running through all combinations --- */

static void
try_combination (World *world, double spoil)
{
  Weighed at = { 1, { FALSE } };
  gboolean at_least_one = FALSE;
  int last = world->n_rounds - 1;
  for (int i = 0; i < world->n_vars; i++)
    {
      const Var *v = &world->vars[i];
      at.p *= world->truth[i] ? v->p : 1 - v->p;
      if (i == 0 && world->truth[0])
        at.p *= spoil;
      if (!world->truth[i] || (v->kind != OWN && v->kind != ELSEWHERE))
        continue;
      at_least_one |= v->kind == ELSEWHERE || v->b == 0;
      if (v->kind == OWN && v->b == world->version[last][world->modes[v->a].comp])
        at.comp[world->modes[v->a].comp] = TRUE;
    }
  at_least_one |= world->elsewhere >= 1;
  for (int r = 0; r < world->n_rounds; r++)
    find_present (world, r);
  try_fit (world);
  if (!at_least_one)
    return;
  for (int i = 0; i < world->n_tests; i++)
    at.p *= test_agrees (world, &world->tests[i]) ? .98 : .02;
  for (int i = 0; i < world->n_said; i++)
    {
      gboolean is = symptom_true (world, &world->said[i])
                    || is_true (world, ELSEWHERE, 0, 0, 0, 0, world->elsewhere);
      at.p *= is == world->said[i].yes ? 1 - world->misreport : world->misreport;
    }
  weigh_setups (world, &at);
}

/* --- the answer --- */

static json_t *
odds_of (const char *key, const char *id, double own, double there, double total)
{
  return json_pack ("{s:s, s:f, s:f}", key, id, "probability", own / total, "present", there / total);
}

static json_t *
list_odds (World *world)
{
  json_t *out = json_object (), *sections = json_array (), *stages = json_array ();
  json_t *comps = json_array ();
  for (int s = 0; s < world->n_sections; s++)
    json_array_append_new (sections, odds_of ("id", world->sections[s], world->section[s],
                                              world->section_there[s], world->total));
  for (int s = 0; s < world->n_stages; s++)
    json_array_append_new (stages, odds_of ("id", world->stages[s].id, world->stage[s],
                                            world->stage_there[s], world->total));
  for (int c = 0; c < world->n_comps; c++)
    {
      const Comp *comp = &world->comps[c];
      json_t *odd = odds_of ("id", comp->id, world->comp[c], world->comp_there[c], world->total);
      json_t *modes = json_array ();
      for (int m = comp->first; m < comp->first + comp->n; m++)
        json_array_append_new (modes, odds_of ("mode", world->modes[m].name, world->own[m],
                                               world->there[m], world->total));
      json_object_set_new (odd, "modes", modes);
      json_array_append_new (comps, odd);
    }
  json_object_set_new (out, "sections", sections);
  json_object_set_new (out, "stages", stages);
  json_object_set_new (out, "components", comps);
  json_object_set_new (out, "elsewhere", json_real (world->sum_elsewhere / world->total));
  json_object_set_new (out, "remaining", json_real (world->sum_remaining / world->total));
  return out;
}

static json_t *
list_readings (World *world)
{
  json_t *list = json_array ();
  for (int i = 0; i < world->n_readings; i++)
    {
      const Reading *reading = &world->readings[i];
      const Measure *m = &world->measures[reading->m];
      gboolean listed = reading->last || !reading->evidence; /* the last that says something */
      for (int j = 0; j < world->n_readings; j++)
        {
          const Reading *other = &world->readings[j];
          if (j != i && other->m == reading->m && other->round == reading->round
              && (other->evidence || (j > i && !reading->evidence)))
            listed &= reading->last;
        }
      if (!listed)
        continue;
      json_t *classes = json_object ();
      for (int c = 0; c < m->n; c++)
        if (reading->w[c] > 0)
          json_object_set_new (classes, m->classes[c], json_real (reading->w[c]));
      json_array_append_new (list, json_pack ("{s:s, s:i, s:s, s:o}", "measurement", m->id, "round",
                                              reading->round + 1, "verdict", reading->verdict,
                                              "classes", classes));
    }
  return list;
}

static json_t *
list_setup (World *world)
{
  json_t *list = json_array ();
  for (int kind = 0; kind < 2; kind++)
    for (int i = 0; i < MAX; i++)
      {
        int s = world->setup_of[world->n_rounds - 1][kind][i];
        if (s >= 0)
          json_array_append_new (list, json_pack ("{s:s, s:f}", kind ? "state" : "black",
                                                  kind ? world->states[i] : world->points[i],
                                                  "probability", world->sum_setup[s] / world->total));
      }
  return list;
}

static double
information (double both, double part, double read)
{
  return both > 0 ? both * log2 (both / part / read) : 0;
}

static json_t *
list_next (World *world)
{
  json_t *list = json_array ();
  int last = world->n_rounds - 1;
  for (int m = 0; m < world->n_measures; m++)
    {
      const Measure *measure = &world->measures[m];
      gboolean open = TRUE;
      double bits = 0, effort = measure->effort;
      for (int i = 0; i < world->n_readings; i++)
        if (world->readings[i].m == m && world->readings[i].round == last && !world->readings[i].reversed)
          open = FALSE;
      if (!open)
        continue;
      for (int c = 0; c < world->n_comps; c++)
        for (int j = 0; j < measure->n; j++)
          {
            double read = world->next[m][j] / world->total, p = world->comp[c] / world->total;
            double both = world->next_comp[m][j][c] / world->total;
            bits += information (both, p, read) + information (read - both, 1 - p, read);
          }
      if (world->last_reading >= 0)
        {
          const Measure *before = &world->measures[world->readings[world->last_reading].m];
          if (before->state != measure->state)
            effort += world->enter[measure->state];
          if (measure->black >= 0 && measure->black != before->black)
            effort += 10;
        }
      json_array_append_new (list, json_pack ("{s:s, s:f, s:f}", "measurement", measure->id, "bits",
                                              bits, "effort_s", effort));
    }
  return list;
}

static json_t *
list_why (World *world, int leading)
{
  json_t *list = json_array ();
  double x = world->comp[leading], rest = world->total - x;
  for (int i = 0; i < world->n_readings; i++)
    {
      double y = world->without_comp[i][leading], others = world->without[i] - y;
      if (!world->readings[i].last)
        continue;
      gboolean none = !(x > 0 && y > 0 && rest > 1e-13 * x && others > 1e-13 * y);
      json_array_append_new (
        list, json_pack ("{s:s, s:i, s:o}", "measurement", world->measures[world->readings[i].m].id,
                         "round", world->readings[i].round + 1, "decibans",
                         none ? json_null () : json_real (10 * log10 (x / rest / (y / others)))));
    }
  return list;
}

static json_t *
list_fit (World *world)
{
  json_t *quarrel = json_array ();
  GHashTableIter iter;
  gpointer key;
  g_hash_table_iter_init (&iter, world->quarrel);
  while (world->best > 0 && g_hash_table_iter_next (&iter, &key, NULL))
    {
      json_t *set = json_array ();
      for (int i = 0; i < world->n_readings; i++)
        if (GPOINTER_TO_UINT (key) >> i & 1)
          json_array_append_new (set, json_pack ("{s:s, s:i}", "measurement",
                                                 world->measures[world->readings[i].m].id, "round",
                                                 world->readings[i].round + 1));
      json_array_append_new (quarrel, set);
    }
  return json_pack ("{s:b, s:o}", "explained", world->best == 0, "quarrel", quarrel);
}

static json_t *
make_answer (World *world)
{
  int leading = 0, stage = 0;
  for (int c = 1; c < world->n_comps; c++)
    if (world->comp[c] > world->comp[leading] * (1 + 1e-11))
      leading = c;
  for (int s = 1; s < world->n_stages; s++)
    if (world->stage[s] > world->stage[stage] * (1 + 1e-11))
      stage = s;
  json_t *out = list_odds (world);
  json_object_set_new (out, "readings", list_readings (world));
  json_object_set_new (out, "setup", list_setup (world));
  json_object_set_new (out, "next", list_next (world));
  json_object_set_new (out, "why", list_why (world, leading));
  json_object_set_new (out, "fit", list_fit (world));
  json_object_set_new (out, "likely_stage",
                       world->sum_elsewhere > world->stage[stage] ? json_null ()
                                                                  : json_string (world->stages[stage].id));
  return out;
}

static World *
world_new (const char *document, const char *table)
{
  World *world = g_new0 (World, 1);
  world->doc = json_loads (document, 0, NULL);
  g_assert_nonnull (world->doc);
  world->quarrel = g_hash_table_new (NULL, NULL);
  world->best = G_MAXUINT;
  read_document (world);
  read_table (world, table);
  make_vars (world);
  make_setups (world);
  return world;
}

static void
world_free (World *world)
{
  g_hash_table_unref (world->quarrel);
  json_decref (world->doc);
  g_free (world);
}

static void
try_all (World *world, double spoil)
{
  for (guint64 bits = 0; bits < G_GUINT64_CONSTANT (1) << world->n_vars; bits++)
    {
      for (int i = 0; i < world->n_vars; i++)
        world->truth[i] = bits >> i & 1;
      try_combination (world, spoil);
    }
}

json_t *
oracle_diagnose (const char *document, const char *table, double spoil)
{
  World *world = world_new (document, table);
  json_t *out = NULL;
  try_all (world, spoil);
  if (world->total > 0)
    out = make_answer (world);
  world_free (world);
  return out;
}

gboolean
oracle_unions (const char *document, const char *table, char ***sets, double *odds)
{
  World *world = world_new (document, table);
  for (; sets[world->n_unions] != NULL; world->n_unions++)
    for (char **event = sets[world->n_unions]; *event != NULL; event++)
      {
        g_auto (GStrv) part = g_strsplit (*event, ":", 2);
        world->in_union[world->n_unions][find_mode (world, part[0], part[1])] = TRUE;
      }
  g_assert_cmpint (world->n_unions, <=, ORACLE_UNIONS);
  try_all (world, 1);
  for (int u = 0; u < world->n_unions; u++)
    odds[u] = world->unions[u] / world->total;
  gboolean possible = world->total > 0;
  world_free (world);
  return possible;
}

guint
oracle_size (const char *document, const char *table, guint *setups)
{
  World *world = world_new (document, table);
  guint n = (guint) world->n_vars;
  *setups = (guint) world->n_setups;
  world_free (world);
  return n;
}
