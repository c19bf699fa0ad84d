/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From an equipment to what can be drawn of it: boxes, conductors, cables, terminals, and where each field check is
 * taken.
 *
 * A document says from which stage a conductor comes and which port it feeds, but not at which terminal a test point
 * sits, nor which checks belong to the relay and which to the wires. Both follow from what is there: from what a check
 * reads, from the modes that act on it, and from the marks that the trade gives conductors (L, N, PE, S) where they
 * stand in both titles. What cannot be told is put beside its box, never left out.
 *
 * Some boxes, ten conductors, thirty checks. Nothing is drawn here; words are those of the documents. */
#include "config.h"

#include "bl-wiring.h"

#include <string.h>

typedef struct
{
  BlWiring *wiring;
  const BlBoard *board;
  const BlEquipment *equipment; /* may be NULL */
} Scan;

static void
box_free (BlWireBox *box)
{
  g_free (box->role);
  g_free (box);
}

static void
terminal_free (BlWireTerminal *terminal)
{
  g_free (terminal->id);
  g_free (terminal->name);
  g_free (terminal->title);
  g_free (terminal);
}

static void
conductor_free (BlWireConductor *conductor)
{
  g_free (conductor->id);
  g_free (conductor->title);
  g_free (conductor);
}

static void
cable_free (BlWireCable *cable)
{
  g_free (cable->id);
  g_free (cable->title);
  g_free (cable);
}

static void
check_free (BlWireCheck *check)
{
  g_free (check->id);
  g_free (check->title);
  g_free (check);
}

void
bl_wiring_free (BlWiring *self)
{
  if (self == NULL)
    return;
  g_free (self->title);
  g_ptr_array_unref (self->boxes);
  g_ptr_array_unref (self->terminals);
  g_ptr_array_unref (self->conductors);
  g_ptr_array_unref (self->cables);
  g_ptr_array_unref (self->checks);
  g_free (self);
}

/* --- boxes, conductors, cables --- */

static int
find_box (const BlWiring *wiring, const char *role, gsize length)
{
  for (guint i = 0; i < wiring->boxes->len; i++)
    {
      const char *other = ((const BlWireBox *) bl_at (wiring->boxes, i))->role;
      if (strlen (other) == length && strncmp (other, role, length) == 0)
        return (int) i;
    }
  return -1;
}

/* Box of an id that begins with its role; -1: of none. */
static int
box_of (const BlWiring *wiring, const char *id)
{
  const char *slash = id != NULL ? strchr (id, '/') : NULL;

  return slash != NULL ? find_box (wiring, id, (gsize) (slash - id)) : -1;
}

static void
add_box (BlWiring *wiring, const char *role, gsize length)
{
  if (length == 0 || find_box (wiring, role, length) >= 0)
    return;
  BlWireBox *box = g_new0 (BlWireBox, 1);
  box->role = g_strndup (role, length);
  g_ptr_array_add (wiring->boxes, box);
}

static void
add_boxes (Scan *scan)
{
  for (guint i = 0; scan->equipment != NULL && i < bl_len (scan->equipment->members); i++)
    {
      const BlMember *member = bl_at (scan->equipment->members, i);
      if (member->role != NULL)
        add_box (scan->wiring, member->role, strlen (member->role));
    }
  for (guint i = 0; i < bl_len (scan->board->sections); i++)
    {
      const char *id = ((const BlSection *) bl_at (scan->board->sections, i))->id;
      const char *slash = id != NULL ? strchr (id, '/') : NULL;
      if (slash != NULL)
        add_box (scan->wiring, id, (gsize) (slash - id));
    }
}

static gboolean
is_fed_by (const BlStage *stage, const char *conductor)
{
  for (guint i = 0; i < bl_len (stage->feeds); i++)
    if (g_strcmp0 (((const BlFeed *) bl_at (stage->feeds, i))->from, conductor) == 0)
      return TRUE;
  return FALSE;
}

static gboolean
is_of_kind (const BlBoard *board, const BlStage *stage, const char *kind)
{
  const BlSection *section = stage->section != NULL ? bl_board_section (board, stage->section) : NULL;

  return section != NULL && g_strcmp0 (section->kind, kind) == 0;
}

static const char *
source_of (const BlBoard *board, const char *conductor)
{
  const BlStage *stage = bl_board_stage (board, conductor);

  return stage != NULL && bl_len (stage->feeds) > 0 ? ((const BlFeed *) bl_at (stage->feeds, 0))->from : NULL;
}

static void
add_conductor (Scan *scan, const BlComponent *component)
{
  BlWireConductor *conductor = g_new0 (BlWireConductor, 1);
  const char *from = source_of (scan->board, component->id);

  conductor->id = g_strdup (component->id);
  conductor->title = g_strdup (component->title != NULL ? component->title : component->id);
  conductor->cable = conductor->terminal[0] = conductor->terminal[1] = conductor->box[1] = -1;
  /* One that goes on from another conductor comes from that one's box; loops of feeds do not exist here. */
  for (guint n = 0; n < bl_len (scan->board->stages) && from != NULL && strchr (from, '/') == NULL; n++)
    from = source_of (scan->board, from);
  conductor->box[0] = box_of (scan->wiring, from);
  for (guint i = 0; i < bl_len (scan->board->stages); i++)
    {
      const BlStage *stage = bl_at (scan->board->stages, i);
      if (!is_fed_by (stage, conductor->id))
        continue;
      if (conductor->box[1] < 0)
        conductor->box[1] = box_of (scan->wiring, stage->id);
      conductor->supplies |= is_of_kind (scan->board, stage, "supply");
    }
  g_ptr_array_add (scan->wiring->conductors, conductor);
}

/* Ports that feed no stage are in the equipment's document alone. */
static void
mend_ends (Scan *scan)
{
  for (guint i = 0; scan->equipment != NULL && i < bl_len (scan->equipment->conductors); i++)
    {
      const BlPart *part = bl_at (scan->equipment->conductors, i);
      for (guint j = 0; j < scan->wiring->conductors->len; j++)
        {
          BlWireConductor *conductor = bl_at (scan->wiring->conductors, j);
          if (g_strcmp0 (conductor->id, part->id) != 0)
            continue;
          if (conductor->box[0] < 0)
            conductor->box[0] = box_of (scan->wiring, part->from);
          if (conductor->box[1] < 0)
            conductor->box[1] = box_of (scan->wiring, part->to);
        }
    }
}

static gboolean
acts_on (const BlComponent *component, const char *id)
{
  for (guint i = 0; i < bl_len (component->modes); i++)
    {
      const BlMode *mode = bl_at (component->modes, i);
      for (guint j = 0; j < bl_len (mode->effects); j++)
        if (g_strcmp0 (((const BlEffect *) bl_at (mode->effects, j))->on, id) == 0)
          return TRUE;
    }
  return FALSE;
}

static gboolean
holds (const BlEquipment *equipment, const BlComponent *cable, const char *conductor)
{
  for (guint i = 0; equipment != NULL && i < bl_len (equipment->cables); i++)
    {
      const BlPart *part = bl_at (equipment->cables, i);
      if (g_strcmp0 (part->id, cable->id) == 0)
        return part->conductors != NULL && g_strv_contains ((const char *const *) part->conductors, conductor);
    }
  return acts_on (cable, conductor);
}

static void
add_cable (Scan *scan, const BlComponent *component)
{
  BlWireCable *cable = g_new0 (BlWireCable, 1);

  cable->id = g_strdup (component->id);
  cable->title = g_strdup (component->title != NULL ? component->title : component->id);
  for (guint i = 0; i < scan->wiring->conductors->len; i++)
    {
      BlWireConductor *conductor = bl_at (scan->wiring->conductors, i);
      if (conductor->cable < 0 && holds (scan->equipment, component, conductor->id))
        conductor->cable = (int) scan->wiring->cables->len;
    }
  g_ptr_array_add (scan->wiring->cables, cable);
}

static int
compare_cables (gconstpointer a, gconstpointer b)
{
  const BlWireConductor *one = *(BlWireConductor *const *) a, *other = *(BlWireConductor *const *) b;
  guint first = (guint) one->cable, second = (guint) other->cable; /* those in none come last */

  return (first > second) - (first < second);
}

/* A stable sort: g_ptr_array_sort () is none for equal elements on every version. */
static void
gather_cables (GPtrArray *conductors)
{
  for (guint i = 1; i < conductors->len; i++)
    for (guint j = i; j > 0 && compare_cables (&conductors->pdata[j - 1], &conductors->pdata[j]) > 0; j--)
      {
        gpointer moved = conductors->pdata[j];
        conductors->pdata[j] = conductors->pdata[j - 1];
        conductors->pdata[j - 1] = moved;
      }
}

/* A conductor is a stage and a component of the same id; a cable is a component without a stage. */
static void
add_parts (Scan *scan)
{
  for (guint i = 0; i < bl_len (scan->board->components); i++)
    {
      const BlComponent *component = bl_at (scan->board->components, i);
      if (strchr (component->id, '/') == NULL && g_strcmp0 (component->stage, component->id) == 0)
        add_conductor (scan, component);
    }
  mend_ends (scan);
  for (guint i = 0; i < bl_len (scan->board->components); i++)
    {
      const BlComponent *component = bl_at (scan->board->components, i);
      if (strchr (component->id, '/') == NULL && component->stage == NULL)
        add_cable (scan, component);
    }
  gather_cables (scan->wiring->conductors);
}

/* --- checks --- */

static int
find_terminal (const BlWiring *wiring, const char *id)
{
  for (guint i = 0; id != NULL && i < wiring->terminals->len; i++)
    if (g_str_equal (((const BlWireTerminal *) bl_at (wiring->terminals, i))->id, id))
      return (int) i;
  return -1;
}

static gboolean
is_word_char (gunichar c)
{
  return g_unichar_isalnum (c) || c == '_';
}

/* Whether word stands in text as a word of its own, whatever its case. */
static gboolean
has_word (const char *text, const char *word)
{
  if (text == NULL || word == NULL || *word == '\0')
    return FALSE;
  g_autofree char *folded = g_utf8_casefold (text, -1), *sought = g_utf8_casefold (word, -1);
  gsize length = strlen (sought);

  for (const char *at = strstr (folded, sought); at != NULL; at = strstr (at + 1, sought))
    {
      gboolean begins = at == folded || !is_word_char (g_utf8_get_char (g_utf8_prev_char (at)));
      gboolean ends = at[length] == '\0' || !is_word_char (g_utf8_get_char (at + length));
      if (begins && ends)
        return TRUE;
    }
  return FALSE;
}

/* A test point of the equipment itself has no role in its id: its id or title may name one. */
static int
box_named (const BlWiring *wiring, const BlTestPoint *point)
{
  int box = box_of (wiring, point->id);

  for (guint i = 0; box < 0 && i < wiring->boxes->len; i++)
    {
      const char *role = ((const BlWireBox *) bl_at (wiring->boxes, i))->role;
      if (has_word (point->id, role) || has_word (point->title, role))
        box = (int) i;
    }
  return box;
}

static int
add_terminal (Scan *scan, const char *id)
{
  int found = find_terminal (scan->wiring, id);
  const BlTestPoint *point = id != NULL ? bl_board_test_point (scan->board, id) : NULL;

  if (found >= 0 || point == NULL)
    return found;
  BlWireTerminal *terminal = g_new0 (BlWireTerminal, 1);
  const char *slash = strchr (id, '/');
  terminal->id = g_strdup (id);
  terminal->name = g_strdup (slash != NULL ? slash + 1 : id);
  terminal->title = g_strdup (point->title);
  terminal->box = box_named (scan->wiring, point);
  terminal->conductor = -1;
  g_ptr_array_add (scan->wiring->terminals, terminal);
  return (int) scan->wiring->terminals->len - 1;
}

static void
add_checks (Scan *scan)
{
  for (guint i = 0; i < bl_len (scan->board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (scan->board->measurements, i);
      if (measurement->id == NULL || strchr (measurement->id, '/') != NULL)
        continue;
      BlWireCheck *check = g_new0 (BlWireCheck, 1);
      check->id = g_strdup (measurement->id);
      check->title = g_strdup (measurement->title != NULL ? measurement->title : measurement->id);
      check->at = add_terminal (scan, measurement->at);
      check->black = add_terminal (scan, measurement->black);
      g_ptr_array_add (scan->wiring->checks, check);
    }
}

static int
box_at (const BlWiring *wiring, int terminal)
{
  return terminal >= 0 ? ((const BlWireTerminal *) bl_at (wiring->terminals, terminal))->box : -1;
}

/* From one box to another: it is about what lies between. */
static gboolean
is_across (const BlWiring *wiring, const BlWireCheck *check)
{
  int at = box_at (wiring, check->at), black = box_at (wiring, check->black);

  return at >= 0 && black >= 0 && at != black;
}

/* How many modes of a component act on this measurement. */
static guint
count_acts (const BlComponent *component, const char *measurement)
{
  guint n = 0;

  for (guint i = 0; i < bl_len (component->modes); i++)
    {
      const BlMode *mode = bl_at (component->modes, i);
      gboolean acts = FALSE;
      for (guint j = 0; j < bl_len (mode->effects); j++)
        acts |= g_strcmp0 (((const BlEffect *) bl_at (mode->effects, j))->on, measurement) == 0;
      n += acts;
    }
  return n;
}

/* --- at which terminal a conductor ends --- */

/* Marks as they stand on terminals: L, N, PE, S, L1, 2. */
static gboolean
is_mark (const char *word)
{
  for (const char *at = word; *at != '\0'; at++)
    if (!g_ascii_isupper (*at) && !g_ascii_isdigit (*at))
      return FALSE;
  return *word != '\0' && strlen (word) <= 3;
}

static gboolean
share_a_mark (const char *one, const char *other)
{
  g_auto (GStrv) words = g_strsplit_set (one != NULL ? one : "", " ,;:()/-", -1);
  g_auto (GStrv) others = g_strsplit_set (other != NULL ? other : "", " ,;:()/-", -1);

  for (guint i = 0; words[i] != NULL; i++)
    if (is_mark (words[i]) && !g_ascii_isdigit (words[i][0]) && g_strv_contains ((const char *const *) others, words[i]))
      return TRUE;
  return FALSE;
}

/* What is read at a terminal says which stage ends there. */
static double
affinity_by_readings (const Scan *scan, const BlWireTerminal *terminal, const BlWireConductor *conductor)
{
  const char *from = source_of (scan->board, conductor->id);
  double sum = 0;

  for (guint i = 0; i < bl_len (scan->board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (scan->board->measurements, i);
      if (measurement->reads == NULL || g_strcmp0 (measurement->at, terminal->id) != 0)
        continue;
      const BlStage *stage = bl_board_stage (scan->board, measurement->reads);
      gboolean mine = g_strcmp0 (measurement->reads, conductor->id) == 0 || g_strcmp0 (measurement->reads, from) == 0
                      || (stage != NULL && is_fed_by (stage, conductor->id));
      sum += mine ? 2 : -2;
    }
  return CLAMP (sum, -4, 4);
}

static double
affinity_by_checks (const Scan *scan, int terminal, const BlWireConductor *conductor)
{
  const BlComponent *component = bl_board_component (scan->board, conductor->id);
  double sum = 0;

  for (guint i = 0; component != NULL && i < scan->wiring->checks->len; i++)
    {
      const BlWireCheck *check = bl_at (scan->wiring->checks, i);
      if (check->at != terminal && (check->black != terminal || !is_across (scan->wiring, check)))
        continue;
      double weight = is_across (scan->wiring, check) ? 3 : check->at == terminal ? 1 : 0;
      sum += count_acts (component, check->id) > 0 ? weight : 0;
    }
  return sum;
}

static double
affinity (const Scan *scan, int index, const BlWireConductor *conductor, int end)
{
  const BlWireTerminal *terminal = bl_at (scan->wiring->terminals, index);
  int other = conductor->box[1 - end];

  if (terminal->box < 0 || terminal->box != conductor->box[end])
    return -INFINITY;
  double sum = affinity_by_readings (scan, terminal, conductor) + affinity_by_checks (scan, index, conductor);
  if (share_a_mark (terminal->title, conductor->title) || share_a_mark (terminal->name, conductor->title))
    sum += 5;
  if (other >= 0 && has_word (terminal->title, ((const BlWireBox *) bl_at (scan->wiring->boxes, other))->role))
    sum += 2;
  return sum;
}

/* The surest pair of terminal and end first, until nothing speaks for one. */
static void
join_terminals (Scan *scan)
{
  BlWiring *wiring = scan->wiring;

  for (;;)
    {
      double best = 0.5;
      BlWireTerminal *terminal = NULL;
      int conductor = -1, end = 0, index = -1;
      for (guint t = 0; t < wiring->terminals->len; t++)
        for (guint c = 0; c < 2 * wiring->conductors->len; c++)
          {
            BlWireTerminal *candidate = bl_at (wiring->terminals, t);
            const BlWireConductor *other = bl_at (wiring->conductors, c / 2);
            if (candidate->conductor >= 0 || other->terminal[c % 2] >= 0)
              continue;
            double speaks = affinity (scan, (int) t, other, (int) (c % 2));
            if (speaks <= best)
              continue;
            best = speaks;
            terminal = candidate;
            index = (int) t;
            conductor = (int) (c / 2);
            end = (int) (c % 2);
          }
      if (terminal == NULL)
        return;
      terminal->conductor = conductor;
      ((BlWireConductor *) bl_at (wiring->conductors, conductor))->terminal[end] = index;
    }
}

/* --- where a check is taken --- */

/* Conductor or cable whose modes act on it most; FALSE: none does. */
static gboolean
place_by_parts (const Scan *scan, BlWireCheck *check, gboolean cables)
{
  guint most = 0, n = cables ? scan->wiring->cables->len : scan->wiring->conductors->len;

  for (guint i = 0; i < n; i++)
    {
      const char *id = cables ? ((const BlWireCable *) bl_at (scan->wiring->cables, i))->id
                              : ((const BlWireConductor *) bl_at (scan->wiring->conductors, i))->id;
      const BlComponent *component = bl_board_component (scan->board, id);
      guint acts = component != NULL ? count_acts (component, check->id) : 0;
      if (acts <= most)
        continue;
      most = acts;
      check->place = cables ? BL_WIRE_CABLE : BL_WIRE_CONDUCTOR;
      check->index = i;
    }
  return most > 0;
}

static gboolean
place_by_ends (const Scan *scan, BlWireCheck *check)
{
  const int ends[] = { check->at, check->black };

  for (guint i = 0; i < G_N_ELEMENTS (ends); i++)
    {
      int conductor
          = ends[i] >= 0 ? ((const BlWireTerminal *) bl_at (scan->wiring->terminals, ends[i]))->conductor : -1;
      if (conductor < 0)
        continue;
      check->place = BL_WIRE_CONDUCTOR;
      check->index = (guint) conductor;
      return TRUE;
    }
  return FALSE;
}

/* The box whose parts act on it most, or whose stage it reads. */
static gboolean
place_by_box (const Scan *scan, const BlMeasurement *measurement, BlWireCheck *check)
{
  g_autofree guint *acts = g_new0 (guint, scan->wiring->boxes->len + 1);
  int best = box_of (scan->wiring, measurement->reads);

  for (guint i = 0; best < 0 && i < bl_len (scan->board->components); i++)
    {
      const BlComponent *component = bl_at (scan->board->components, i);
      int box = box_of (scan->wiring, component->id);
      if (box >= 0)
        acts[box] += count_acts (component, check->id);
    }
  for (guint i = 0; box_of (scan->wiring, measurement->reads) < 0 && i < scan->wiring->boxes->len; i++)
    if (acts[i] > 0 && (best < 0 || acts[i] > acts[best]))
      best = (int) i;
  if (best < 0)
    return FALSE;
  check->place = BL_WIRE_BOX;
  check->index = (guint) best;
  return TRUE;
}

static void
place_check (const Scan *scan, BlWireCheck *check)
{
  const BlMeasurement *measurement = bl_board_measurement (scan->board, check->id);

  check->place = BL_WIRE_ANYWHERE;
  for (guint i = 0; i < scan->wiring->conductors->len; i++)
    if (g_strcmp0 (((const BlWireConductor *) bl_at (scan->wiring->conductors, i))->id, measurement->reads) == 0)
      {
        check->place = BL_WIRE_CONDUCTOR;
        check->index = i;
        return;
      }
  if (is_across (scan->wiring, check))
    {
      if (place_by_ends (scan, check) || place_by_parts (scan, check, FALSE))
        return;
    }
  if (check->at >= 0)
    {
      check->place = BL_WIRE_TERMINAL;
      check->index = (guint) check->at;
      return;
    }
  (void) (place_by_parts (scan, check, FALSE) || place_by_parts (scan, check, TRUE)
          || place_by_box (scan, measurement, check));
}

/* --- what kind of check it is --- */

/* Whether all that acts on it, or the stage it reads, belongs to a relay section. */
static gboolean
is_of_relay (const Scan *scan, const BlMeasurement *measurement)
{
  const BlStage *read = measurement->reads != NULL ? bl_board_stage (scan->board, measurement->reads) : NULL;
  guint relay = 0, other = 0;

  if (read != NULL)
    return is_of_kind (scan->board, read, "relay");
  for (guint i = 0; i < bl_len (scan->board->components); i++)
    {
      const BlComponent *component = bl_at (scan->board->components, i);
      const BlStage *stage = component->stage != NULL ? bl_board_stage (scan->board, component->stage) : NULL;
      if (!acts_on (component, measurement->id))
        continue;
      if (stage != NULL && is_of_kind (scan->board, stage, "relay"))
        relay++;
      else
        other++;
    }
  return relay > other;
}

static gboolean
is_acted_on (const Scan *scan, const char *id)
{
  for (guint i = 0; i < bl_len (scan->board->components); i++)
    if (acts_on (bl_at (scan->board->components, i), id))
      return TRUE;
  return FALSE;
}

static BlSiteStep
kind_of (const Scan *scan, const BlWireCheck *check)
{
  const BlMeasurement *measurement = bl_board_measurement (scan->board, check->id);
  const BlState *state = measurement->state != NULL ? bl_board_state (scan->board, measurement->state) : NULL;
  gboolean is_check = measurement->measures == BL_MEASURES_CHECK, live = state == NULL || state->live != 0;
  gboolean between = check->place == BL_WIRE_CONDUCTOR || check->place == BL_WIRE_CABLE;

  /* A question that no fault changes is about how the boxes are joined. */
  if (is_check && measurement->reads == NULL && !is_acted_on (scan, check->id))
    return BL_SITE_DIRECTION;
  /* Does it work with another conductor in its place: a conductor, alive, and no figure. */
  if (is_check && between && live)
    return BL_SITE_EXCHANGE;
  if (between || bl_measures_is_resistive (measurement->measures) || !live)
    return BL_SITE_CONDUCTOR;
  if (is_of_relay (scan, measurement))
    return BL_SITE_RELAY;
  return measurement->measures == BL_MEASURES_V_AC ? BL_SITE_SUPPLY : BL_SITE_SIGNAL;
}

static void
sort_checks (GPtrArray *checks)
{
  for (guint i = 1; i < checks->len; i++)
    for (guint j = i; j > 0; j--)
      {
        BlWireCheck *before = bl_at (checks, j - 1), *after = bl_at (checks, j);
        if (before->kind <= after->kind)
          break;
        bl_at (checks, j - 1) = after;
        bl_at (checks, j) = before;
      }
}

BlWiring *
bl_wiring_new (const BlBoard *joined, const BlEquipment *equipment)
{
  g_return_val_if_fail (joined != NULL, NULL);
  BlWiring *self = g_new0 (BlWiring, 1);
  Scan scan = { self, joined, equipment };

  self->title = g_strdup (equipment != NULL ? equipment->title : NULL);
  self->boxes = g_ptr_array_new_with_free_func ((GDestroyNotify) box_free);
  self->terminals = g_ptr_array_new_with_free_func ((GDestroyNotify) terminal_free);
  self->conductors = g_ptr_array_new_with_free_func ((GDestroyNotify) conductor_free);
  self->cables = g_ptr_array_new_with_free_func ((GDestroyNotify) cable_free);
  self->checks = g_ptr_array_new_with_free_func ((GDestroyNotify) check_free);
  add_boxes (&scan);
  add_parts (&scan);
  add_checks (&scan);
  join_terminals (&scan);
  for (guint i = 0; i < self->checks->len; i++)
    {
      BlWireCheck *check = bl_at (self->checks, i);
      place_check (&scan, check);
      check->kind = kind_of (&scan, check);
    }
  sort_checks (self->checks);
  return self;
}

const BlWireCheck *
bl_wiring_check (const BlWiring *self, const char *id)
{
  g_return_val_if_fail (self != NULL, NULL);
  for (guint i = 0; id != NULL && i < self->checks->len; i++)
    {
      const BlWireCheck *check = bl_at (self->checks, i);
      if (g_str_equal (check->id, id))
        return check;
    }
  return NULL;
}

gboolean
bl_wiring_place (const BlWiring *self, const char *id, BlWirePlace *place, guint *index)
{
  g_return_val_if_fail (self != NULL, FALSE);
  const char *slash = id != NULL ? strchr (id, '/') : NULL;

  for (guint i = 0; id != NULL && i < self->conductors->len; i++)
    {
      const char *other = ((const BlWireConductor *) bl_at (self->conductors, i))->id;
      gboolean implied = slash != NULL && strncmp (other, id, (gsize) (slash - id)) == 0
                         && other[slash - id] == '\0' && g_str_equal (slash, "/other");
      if (!g_str_equal (other, id) && !implied)
        continue;
      *place = BL_WIRE_CONDUCTOR;
      *index = i;
      return TRUE;
    }
  for (guint i = 0; id != NULL && i < self->cables->len; i++)
    if (g_str_equal (((const BlWireCable *) bl_at (self->cables, i))->id, id))
      {
        *place = BL_WIRE_CABLE;
        *index = i;
        return TRUE;
      }
  int box = id == NULL ? -1 : slash != NULL ? box_of (self, id) : find_box (self, id, strlen (id));
  *place = BL_WIRE_BOX;
  *index = (guint) MAX (box, 0);
  return box >= 0;
}
