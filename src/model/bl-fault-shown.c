/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The fault that a panel shows: what was seen of each lamp and what the tables make of it. Lamps go by their role,
 * for colours and places differ from panel to panel. Nothing is kept here: a symptom becomes part of a job when the
 * technician takes an entry. */
#include "config.h"

#include "bl-fault-shown.h"

#include <glib/gi18n-lib.h>
#include <math.h>

#include "bl-bench.h"

#define ANEW_S 10. /* without a tap: the next one begins counting anew */

typedef struct
{
  char *role;
  BlLampPattern *seen; /* NULL: not looked at */
  GArray *taps;        /* double, s */
  BlTaps read;         /* what they say */
} Lamp;

struct BlFaultShown
{
  BlLibrary *library; /* of the application */
  gint64 board;       /* on the bench */
  guint n_unread;     /* editions whose documents cannot be read */
  GPtrArray *boards; /* BlBoard; the first is the one on the bench */
  GPtrArray *lamps;  /* Lamp */
  GPtrArray *seen;   /* BlLampPattern of the lamps that were looked at (transfer none) */
  GPtrArray *matches;
};

static void
lamp_free (gpointer data)
{
  Lamp *lamp = data;

  g_free (lamp->role);
  g_clear_pointer (&lamp->seen, bl_lamp_pattern_free);
  g_array_unref (lamp->taps);
  g_free (lamp);
}

static gboolean
same_role (const char *a, const char *b)
{
  g_autofree char *x = g_utf8_casefold (a, -1), *y = g_utf8_casefold (b, -1);
  return g_str_equal (g_strstrip (x), g_strstrip (y));
}

guint
bl_fault_shown_add_lamp (BlFaultShown *self, const char *role)
{
  g_return_val_if_fail (self != NULL && role != NULL, 0);

  for (guint i = 0; i < self->lamps->len; i++)
    if (same_role (((Lamp *) bl_at (self->lamps, i))->role, role))
      return i;
  Lamp *lamp = g_new0 (Lamp, 1);
  lamp->role = g_strstrip (g_strdup (role));
  lamp->taps = g_array_new (FALSE, FALSE, sizeof (double));
  g_ptr_array_add (self->lamps, lamp);
  return self->lamps->len - 1;
}

static void
add_lamps (BlFaultShown *self, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->indications); i++)
    {
      const BlIndication *indication = bl_at (board->indications, i);
      for (guint j = 0; j < bl_len (indication->pattern); j++)
        {
          const BlLampPattern *pattern = bl_at (indication->pattern, j);
          if (pattern->lamp != NULL && *pattern->lamp != '\0')
            bl_fault_shown_add_lamp (self, pattern->lamp);
        }
    }
}

static gboolean
is_empty (const char *text)
{
  return text == NULL || *text == '\0';
}

/* Other editions of the same board; of documents that cannot be read it is only told that there are some. */
static gboolean
load_others (BlFaultShown *self, BlLibrary *library, gint64 own, GError **error)
{
  g_autoptr (GPtrArray) rows = bl_library_boards (library, FALSE, error);
  const BlBoard *mine = bl_at (self->boards, 0);

  if (rows == NULL)
    return FALSE;
  for (guint i = 0; i < rows->len; i++)
    {
      const BlBoardRow *row = bl_at (rows, i);
      if (row->id == own || (!is_empty (mine->board_number) && g_strcmp0 (mine->board_number, row->board_number) != 0))
        continue;
      BlBoard *board = bl_library_load_board (library, row->id, NULL);
      if (board != NULL)
        g_ptr_array_add (self->boards, board);
      else
        self->n_unread++;
    }
  return TRUE;
}

BlFaultShown *
bl_fault_shown_new (BlLibrary *library, gint64 board, const BlBoard *own, GError **error)
{
  g_return_val_if_fail (library != NULL && own != NULL, NULL);
  g_autoptr (BlFaultShown) self = g_new0 (BlFaultShown, 1);

  self->library = library;
  self->board = board;
  self->boards = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_board_free);
  self->lamps = g_ptr_array_new_with_free_func (lamp_free);
  self->seen = g_ptr_array_new ();
  g_ptr_array_add (self->boards, bl_board_copy (own));
  if (!load_others (self, library, board, error))
    return NULL;
  for (guint i = 0; i < self->boards->len; i++)
    add_lamps (self, bl_at (self->boards, i));
  return g_steal_pointer (&self);
}

void
bl_fault_shown_free (BlFaultShown *self)
{
  if (self == NULL)
    return;
  g_clear_pointer (&self->matches, g_ptr_array_unref);
  g_ptr_array_unref (self->seen);
  g_ptr_array_unref (self->lamps);
  g_ptr_array_unref (self->boards);
  g_free (self);
}

guint
bl_fault_shown_n_lamps (BlFaultShown *self)
{
  g_return_val_if_fail (self != NULL, 0);
  return self->lamps->len;
}

static Lamp *
at (BlFaultShown *self, guint lamp)
{
  return bl_at (self->lamps, lamp);
}

const char *
bl_fault_shown_lamp (BlFaultShown *self, guint lamp)
{
  g_return_val_if_fail (self != NULL && lamp < self->lamps->len, NULL);
  return at (self, lamp)->role;
}

/* --- what is said --- */

/* What was matched before is stale. */
static void
forget_matches (BlFaultShown *self)
{
  g_clear_pointer (&self->matches, g_ptr_array_unref);
  g_ptr_array_set_size (self->seen, 0);
}

static BlLampPattern *
say (BlFaultShown *self, guint lamp)
{
  Lamp *which = at (self, lamp);

  forget_matches (self);
  g_clear_pointer (&which->seen, bl_lamp_pattern_free);
  which->seen = bl_lamp_pattern_new ();
  which->seen->lamp = g_strdup (which->role);
  return which->seen;
}

static void
forget_taps (BlFaultShown *self, guint lamp)
{
  g_array_set_size (at (self, lamp)->taps, 0);
}

void
bl_fault_shown_set_count (BlFaultShown *self, guint lamp, guint count)
{
  g_return_if_fail (self != NULL && lamp < self->lamps->len);
  forget_taps (self, lamp);
  say (self, lamp)->blinks = count;
}

void
bl_fault_shown_set_rate (BlFaultShown *self, guint lamp, double rate_hz)
{
  g_return_if_fail (self != NULL && lamp < self->lamps->len && rate_hz > 0);
  forget_taps (self, lamp);
  say (self, lamp)->rate_hz = rate_hz;
}

void
bl_fault_shown_set_steady (BlFaultShown *self, guint lamp, gboolean lit)
{
  g_return_if_fail (self != NULL && lamp < self->lamps->len);
  forget_taps (self, lamp);
  say (self, lamp)->steady = lit ? 1 : 0;
}

void
bl_fault_shown_clear (BlFaultShown *self, guint lamp)
{
  g_return_if_fail (self != NULL && lamp < self->lamps->len);
  forget_taps (self, lamp);
  forget_matches (self);
  g_clear_pointer (&at (self, lamp)->seen, bl_lamp_pattern_free);
}

/* --- taps --- */

static void
read_taps (BlFaultShown *self, guint lamp, double now)
{
  Lamp *which = at (self, lamp);
  const double *taps = (const double *) which->taps->data;
  guint n = which->taps->len;

  bl_taps_read (taps, n, now - taps[n - 1], &which->read);
  if (which->read.kind == BL_TAPS_UNDECIDED)
    {
      forget_matches (self);
      g_clear_pointer (&which->seen, bl_lamp_pattern_free);
      return;
    }
  /* How fast the flashes of a group come is told, and compared where a table says it. */
  BlLampPattern *seen = say (self, lamp);
  if (which->read.kind == BL_TAPS_COUNT)
    seen->blinks = which->read.count;
  if (which->read.count != 1)
    seen->rate_hz = which->read.rate_hz;
}

void
bl_fault_shown_tap (BlFaultShown *self, guint lamp, double time)
{
  g_return_if_fail (self != NULL && lamp < self->lamps->len);
  GArray *taps = at (self, lamp)->taps;

  if (taps->len > 0 && time - g_array_index (taps, double, taps->len - 1) > ANEW_S)
    g_array_set_size (taps, 0);
  g_array_append_val (taps, time);
  read_taps (self, lamp, time);
}

gboolean
bl_fault_shown_wait (BlFaultShown *self, guint lamp, double time)
{
  g_return_val_if_fail (self != NULL && lamp < self->lamps->len, FALSE);
  Lamp *which = at (self, lamp);
  BlTaps before = which->read;

  if (which->taps->len < 2)
    return FALSE;
  read_taps (self, lamp, time);
  return before.kind != which->read.kind || before.count != which->read.count;
}

guint
bl_fault_shown_n_taps (BlFaultShown *self, guint lamp)
{
  g_return_val_if_fail (self != NULL && lamp < self->lamps->len, 0);
  return at (self, lamp)->taps->len;
}

/* --- words --- */

static char *
pattern_words (const BlLampPattern *pattern)
{
  if (pattern->steady >= 0)
    return g_strdup (pattern->steady == 1 ? C_ ("lamp", "lit") : C_ ("lamp", "out"));
  if (!isnan (pattern->blinks))
    return g_strdup_printf (ngettext ("flashes %u time", "flashes %u times", (guint) pattern->blinks),
                            (guint) pattern->blinks);
  if (isnan (pattern->rate_hz))
    return g_strdup (_ ("flashes"));
  return pattern->rate_hz < .6 ? g_strdup_printf (_ ("one flash every %.0f s"), 1 / pattern->rate_hz)
                               : g_strdup_printf (_ ("flashes %.1f times a second"), pattern->rate_hz);
}

char *
bl_fault_shown_words (BlFaultShown *self, guint lamp)
{
  g_return_val_if_fail (self != NULL && lamp < self->lamps->len, NULL);
  const BlLampPattern *seen = at (self, lamp)->seen;
  return seen != NULL ? pattern_words (seen) : g_strdup (_ ("not looked at"));
}

char *
bl_fault_shown_taps_words (BlFaultShown *self, guint lamp)
{
  g_return_val_if_fail (self != NULL && lamp < self->lamps->len, NULL);
  const Lamp *which = at (self, lamp);
  const BlTaps *read = &which->read;
  guint n = which->taps->len;

  if (n == 0)
    return NULL;
  if (read->kind == BL_TAPS_COUNT)
    return g_strdup_printf (ngettext ("%u flash, then a pause", "%u flashes, then a pause", read->count), read->count);
  if (read->kind == BL_TAPS_RATE)
    return g_strdup_printf (_ ("%.1f a second, without a pause"), read->rate_hz);
  return g_strdup_printf (ngettext ("%u tap: go on over the pause, with the next group too",
                                    "%u taps: go on over the pause, with the next group too", n), n);
}

guint
bl_fault_shown_count (BlFaultShown *self, guint lamp)
{
  g_return_val_if_fail (self != NULL && lamp < self->lamps->len, 0);
  const BlLampPattern *seen = at (self, lamp)->seen;
  return seen != NULL && !isnan (seen->blinks) ? (guint) seen->blinks : 0;
}

gboolean
bl_fault_shown_is_seen (BlFaultShown *self, guint lamp)
{
  g_return_val_if_fail (self != NULL && lamp < self->lamps->len, FALSE);
  return at (self, lamp)->seen != NULL;
}

char *
bl_fault_shown_summary (BlFaultShown *self)
{
  g_return_val_if_fail (self != NULL, NULL);
  g_autoptr (GPtrArray) parts = g_ptr_array_new_with_free_func (g_free);

  for (guint i = 0; i < self->lamps->len; i++)
    if (at (self, i)->seen != NULL)
      {
        g_autofree char *words = pattern_words (at (self, i)->seen);
        /* Translators: a lamp's role and what it does: "operation: flashes 5 times" */
        g_ptr_array_add (parts, g_strdup_printf (_ ("%s: %s"), at (self, i)->role, words));
      }
  if (parts->len == 0)
    return NULL;
  g_ptr_array_add (parts, NULL);
  return g_strjoinv (", ", (char **) parts->pdata);
}

/* --- matches --- */

GPtrArray *
bl_fault_shown_matches (BlFaultShown *self)
{
  g_return_val_if_fail (self != NULL, NULL);
  const BlBoard *own = bl_at (self->boards, 0);

  if (self->matches != NULL)
    return self->matches;
  for (guint i = 0; i < self->lamps->len; i++)
    if (at (self, i)->seen != NULL)
      g_ptr_array_add (self->seen, at (self, i)->seen);
  self->matches = bl_indication_matches ((const BlBoard *const *) self->boards->pdata, self->boards->len, self->seen, own,
                                         own->edition);
  return self->matches;
}

static const BlLampPattern *
lamp_of (const BlIndication *indication, const char *lamp)
{
  for (guint i = 0; i < bl_len (indication->pattern); i++)
    {
      const BlLampPattern *pattern = bl_at (indication->pattern, i);
      if (g_strcmp0 (pattern->lamp, lamp) == 0)
        return pattern;
    }
  return NULL;
}

static char *
fit_words (const BlIndicationMatch *match)
{
  if (match->fit == BL_INDICATION_NEAR)
    {
      const BlLampPattern *off = lamp_of (match->indication, match->off);
      g_autofree char *words = off != NULL ? pattern_words (off) : g_strdup ("");
      /* Translators: a lamp's role and what it would do: "nearly: there it is operation: flashes 6 times" */
      return g_strdup_printf (_ ("nearly; there it is %s: %s"), match->off, words);
    }
  if (match->fit == BL_INDICATION_WHOLE)
    return g_strdup (_ ("fits"));
  g_ptr_array_add (match->unseen, NULL);
  g_autofree char *unseen = g_strjoinv (", ", (char **) match->unseen->pdata);
  g_ptr_array_set_size (match->unseen, (int) match->unseen->len - 1);
  return g_strdup_printf (_ ("fits so far; look at %s too"), unseen);
}

char *
bl_fault_shown_match_words (BlFaultShown *self, const BlIndicationMatch *match)
{
  g_return_val_if_fail (self != NULL && match != NULL, NULL);
  g_autofree char *fit = fit_words (match);

  if (match->own)
    return g_steal_pointer (&fit);
  if (is_empty (match->edition))
    return g_strdup_printf (_ ("%s · edition not said"), fit);
  return g_strdup_printf (_ ("%s · edition %s"), fit, match->edition);
}

gboolean
bl_fault_shown_is_own_board (BlFaultShown *self, const BlIndicationMatch *match)
{
  g_return_val_if_fail (self != NULL && match != NULL, FALSE);
  return match->board == bl_at (self->boards, 0);
}

char *
bl_fault_shown_earlier (BlFaultShown *self, const BlIndicationMatch *match, gint64 job, GError **error)
{
  g_return_val_if_fail (self != NULL && match != NULL, NULL);

  if (!bl_fault_shown_is_own_board (self, match))
    return NULL;
  g_autoptr (GPtrArray) causes
    = bl_library_causes_with (self->library, self->board, job, match->indication->symptom, error);
  return causes != NULL ? bl_found_words (causes, 3) : NULL;
}

char *
bl_fault_shown_warning (BlFaultShown *self)
{
  g_return_val_if_fail (self != NULL, NULL);
  const BlBoard *own = bl_at (self->boards, 0);
  GPtrArray *matches = bl_fault_shown_matches (self);

  for (guint i = 0; i < matches->len; i++)
    {
      const BlIndicationMatch *match = bl_at (matches, i);
      if (match->other_meaning)
        return g_strdup_printf (_ ("On edition %s this pattern means “%s”: read the edition mark on the board."),
                                is_empty (match->edition) ? "?" : match->edition, match->meaning);
    }
  if (self->n_unread > 0)
    return g_strdup_printf (ngettext ("%u other edition of this board cannot be read: the pattern may mean something else there.",
                                      "%u other editions of this board cannot be read: the pattern may mean something "
                                      "else there.", self->n_unread), self->n_unread);
  if (matches->len > 0 && is_empty (own->edition))
    return g_strdup (_ ("The edition is not established: the same pattern may mean something else. Read the edition mark "
                        "on the board."));
  return NULL;
}
