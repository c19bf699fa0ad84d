/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The field checks of an equipment: at which terminal, conductor or box each is taken, and when it is asked.
 *
 * A document names test points, not which conductor ends there. That follows from what is read at a point, from which
 * modes act on what is read from end to end, and from the marks that the trade gives conductors (L, N, PE, S) where
 * they stand in both titles; the surest pair is joined first. The click of the relay that switches a conductor is a
 * check of its board, and belongs here all the same: click and output are two answers. Nothing is drawn here. */
#include "config.h"

#include "bl-wiring-private.h"

#include <math.h>
#include <string.h>

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
  int box = bl_wire_box_of (wiring, point->id);

  for (guint i = 0; box < 0 && i < wiring->boxes->len; i++)
    {
      const char *role = ((const BlWireBox *) bl_at (wiring->boxes, i))->role;
      if (has_word (point->id, role) || has_word (point->title, role))
        box = (int) i;
    }
  return box;
}

static int
add_terminal (BlWireScan *scan, const char *id)
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

/* Whether a stage lies before the source of a conductor that feeds, within its relay section: there the relay is. */
static gboolean
switches (const BlWireScan *scan, const char *stage, const char *from, guint depth)
{
  const BlStage *at = from != NULL ? bl_board_stage (scan->board, from) : NULL;

  if (at == NULL || depth > 16 || !bl_wire_is_of_kind (scan->board, at, "relay"))
    return FALSE;
  if (g_strcmp0 (at->id, stage) == 0)
    return TRUE;
  for (guint i = 0; i < bl_len (at->feeds); i++)
    if (switches (scan, stage, ((const BlFeed *) bl_at (at->feeds, i))->from, depth + 1))
      return TRUE;
  return FALSE;
}

/* A question to the relay of a conductor that feeds, asked with power: does it click. */
static gboolean
is_relay_question (const BlWireScan *scan, const BlMeasurement *measurement)
{
  const BlState *state = measurement->state != NULL ? bl_board_state (scan->board, measurement->state) : NULL;

  if (measurement->measures != BL_MEASURES_CHECK || measurement->reads == NULL || (state != NULL && state->live == 0))
    return FALSE;
  for (guint i = 0; i < scan->wiring->conductors->len; i++)
    {
      const BlWireConductor *conductor = bl_at (scan->wiring->conductors, i);
      if (conductor->supplies
          && switches (scan, measurement->reads, bl_wire_source_of (scan->board, conductor->id), 0))
        return TRUE;
    }
  return FALSE;
}

static void
add_checks (BlWireScan *scan)
{
  for (guint i = 0; i < bl_len (scan->board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (scan->board->measurements, i);
      if (measurement->id == NULL
          || (strchr (measurement->id, '/') != NULL && !is_relay_question (scan, measurement)))
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
affinity_by_readings (const BlWireScan *scan, const BlWireTerminal *terminal, const BlWireConductor *conductor)
{
  const char *from = bl_wire_source_of (scan->board, conductor->id);
  double sum = 0;

  for (guint i = 0; i < bl_len (scan->board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (scan->board->measurements, i);
      if (measurement->reads == NULL || g_strcmp0 (measurement->at, terminal->id) != 0)
        continue;
      const BlStage *stage = bl_board_stage (scan->board, measurement->reads);
      gboolean mine = g_strcmp0 (measurement->reads, conductor->id) == 0 || g_strcmp0 (measurement->reads, from) == 0
                      || (stage != NULL && bl_wire_is_fed_by (stage, conductor->id));
      sum += mine ? 2 : -2;
    }
  return CLAMP (sum, -4, 4);
}

static double
affinity_by_checks (const BlWireScan *scan, int terminal, const BlWireConductor *conductor)
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
affinity (const BlWireScan *scan, int index, const BlWireConductor *conductor, int end)
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
join_terminals (BlWireScan *scan)
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
place_by_parts (const BlWireScan *scan, BlWireCheck *check, gboolean cables)
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
place_by_ends (const BlWireScan *scan, BlWireCheck *check)
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
place_by_box (const BlWireScan *scan, const BlMeasurement *measurement, BlWireCheck *check)
{
  g_autofree guint *acts = g_new0 (guint, scan->wiring->boxes->len + 1);
  int best = bl_wire_box_of (scan->wiring, measurement->reads);

  for (guint i = 0; best < 0 && i < bl_len (scan->board->components); i++)
    {
      const BlComponent *component = bl_at (scan->board->components, i);
      int box = bl_wire_box_of (scan->wiring, component->id);
      if (box >= 0)
        acts[box] += count_acts (component, check->id);
    }
  for (guint i = 0; bl_wire_box_of (scan->wiring, measurement->reads) < 0 && i < scan->wiring->boxes->len; i++)
    if (acts[i] > 0 && (best < 0 || acts[i] > acts[best]))
      best = (int) i;
  if (best < 0)
    return FALSE;
  check->place = BL_WIRE_BOX;
  check->index = (guint) best;
  return TRUE;
}

static void
place_check (const BlWireScan *scan, BlWireCheck *check)
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
is_of_relay (const BlWireScan *scan, const BlMeasurement *measurement)
{
  const BlStage *read = measurement->reads != NULL ? bl_board_stage (scan->board, measurement->reads) : NULL;
  guint relay = 0, other = 0;

  if (read != NULL)
    return bl_wire_is_of_kind (scan->board, read, "relay");
  for (guint i = 0; i < bl_len (scan->board->components); i++)
    {
      const BlComponent *component = bl_at (scan->board->components, i);
      const BlStage *stage = component->stage != NULL ? bl_board_stage (scan->board, component->stage) : NULL;
      if (!bl_wire_acts_on (component, measurement->id))
        continue;
      if (stage != NULL && bl_wire_is_of_kind (scan->board, stage, "relay"))
        relay++;
      else
        other++;
    }
  return relay > other;
}

static gboolean
is_acted_on (const BlBoard *board, const char *id)
{
  for (guint i = 0; i < bl_len (board->components); i++)
    if (bl_wire_acts_on (bl_at (board->components, i), id))
      return TRUE;
  return FALSE;
}

gboolean
bl_wiring_asks_direction (const BlBoard *joined, const char *measurement)
{
  g_return_val_if_fail (joined != NULL, FALSE);
  const BlMeasurement *found = measurement != NULL ? bl_board_measurement (joined, measurement) : NULL;

  return found != NULL && strchr (measurement, '/') == NULL && found->measures == BL_MEASURES_CHECK
         && found->reads == NULL && !is_acted_on (joined, measurement);
}

/* Whether the terminal is that of a conductor that feeds nothing. */
static gboolean
is_of_signal (const BlWiring *wiring, int terminal)
{
  int conductor = ((const BlWireTerminal *) bl_at (wiring->terminals, terminal))->conductor;

  return conductor >= 0 && !((const BlWireConductor *) bl_at (wiring->conductors, conductor))->supplies;
}

static BlSiteStep
kind_of (const BlWireScan *scan, const BlWireCheck *check)
{
  const BlMeasurement *measurement = bl_board_measurement (scan->board, check->id);
  const BlState *state = measurement->state != NULL ? bl_board_state (scan->board, measurement->state) : NULL;
  gboolean is_check = measurement->measures == BL_MEASURES_CHECK, live = state == NULL || state->live != 0;
  gboolean between = check->place == BL_WIRE_CONDUCTOR || check->place == BL_WIRE_CABLE;

  if (bl_wiring_asks_direction (scan->board, check->id))
    return BL_SITE_DIRECTION;
  /* Does it work with another conductor in its place: a conductor, alive, and no figure. */
  if (is_check && between && live)
    return BL_SITE_EXCHANGE;
  if (between || bl_measures_is_resistive (measurement->measures) || !live)
    return BL_SITE_CONDUCTOR;
  if (measurement->measures == BL_MEASURES_V_AC && check->at >= 0)
    return is_of_signal (scan->wiring, check->at) ? BL_SITE_SIGNAL : BL_SITE_SUPPLY;
  return is_of_relay (scan, measurement) ? BL_SITE_RELAY : BL_SITE_SIGNAL;
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

void
bl_wire_scan_checks (BlWireScan *scan)
{
  GPtrArray *checks = scan->wiring->checks;

  add_checks (scan);
  join_terminals (scan);
  for (guint i = 0; i < checks->len; i++)
    {
      BlWireCheck *check = bl_at (checks, i);
      place_check (scan, check);
      check->kind = kind_of (scan, check);
    }
  sort_checks (checks);
}
