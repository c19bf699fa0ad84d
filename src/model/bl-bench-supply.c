/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What is asked about the power: which supply feeds the board, the first time it is live in a job, and what was made
 * sure of before power comes back after a repair on the hot side, each time. A line of the log keeps it as plain names
 * ("supply: isolated, limited", "before power: bus"), so that files read the same in every language. */
#include "config.h"

#include "bl-bench-supply.h"

#include "bl-bench-private.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#define SUPPLY "supply:"
#define BEFORE "before power:"

typedef struct
{
  guint flag;
  const char *name, *words;
} Row;

static const Row supplies[] = {
  { BL_SUPPLY_ISOLATED, "isolated", N_ ("isolating transformer") },
  { BL_SUPPLY_LIMITED, "limited", N_ ("current-limited") },
  { BL_SUPPLY_MAINS, "mains", N_ ("the mains as they are") },
  { BL_SUPPLY_PASSED, "passed by", N_ ("not said") },
};

static const Row befores[] = {
  { BL_BEFORE_BUS, "bus", N_ ("resistance of the bus measured: no short") },
  { BL_BEFORE_LIMITED, "limited", N_ ("current-limited supply, or a lamp in series") },
  { BL_BEFORE_DISCHARGE, "discharge", N_ ("a way to discharge at hand, and the capacitor discharged") },
  { BL_BEFORE_PASSED, "passed by", N_ ("the rest passed by") },
};

static char *
text_of (const char *head, const Row *rows, guint n, guint flags)
{
  g_autoptr (GString) text = g_string_new (head);
  const char *sign = " ";

  for (guint i = 0; i < n; i++)
    if ((flags & rows[i].flag) != 0)
      {
        g_string_append_printf (text, "%s%s", sign, rows[i].name);
        sign = ", ";
      }
  return g_string_free (g_steal_pointer (&text), FALSE);
}

static guint
flags_of (const char *text, const Row *rows, guint n)
{
  g_auto (GStrv) names = g_strsplit (text, ",", -1);
  guint flags = 0;

  for (guint k = 0; names[k] != NULL; k++)
    for (guint i = 0; i < n; i++)
      if (g_str_equal (g_strstrip (names[k]), rows[i].name))
        flags |= rows[i].flag;
  return flags;
}

static char *
words_of (const Row *rows, guint n, guint flags)
{
  g_autoptr (GString) words = g_string_new (NULL);

  for (guint i = 0; i < n; i++)
    if ((flags & rows[i].flag) != 0)
      g_string_append_printf (words, "%s%s", words->len > 0 ? ", " : "", _ (rows[i].words));
  return g_string_free (g_steal_pointer (&words), FALSE);
}

const char *
bl_before_words (BlBefore one)
{
  for (guint i = 0; i < G_N_ELEMENTS (befores); i++)
    if (befores[i].flag == (guint) one)
      return _ (befores[i].words);
  return "";
}

char *
bl_supply_words (BlSupply supply)
{
  return words_of (supplies, G_N_ELEMENTS (supplies), supply);
}

char *
bl_supply_record_words (const BlRecord *record)
{
  g_return_val_if_fail (record != NULL, NULL);
  const char *text = record->text != NULL ? record->text : "";

  if (g_str_has_prefix (text, SUPPLY))
    {
      g_autofree char *words = bl_supply_words (flags_of (text + strlen (SUPPLY), supplies, G_N_ELEMENTS (supplies)));
      return g_strdup_printf (_ ("fed by: %s"), words);
    }
  if (g_str_has_prefix (text, BEFORE))
    {
      g_autofree char *words
        = words_of (befores, G_N_ELEMENTS (befores), flags_of (text + strlen (BEFORE), befores, G_N_ELEMENTS (befores)));
      return g_strdup_printf (_ ("before power after the repair: %s"), words);
    }
  return g_strdup (text);
}

/* --- when it is asked --- */

static gboolean
is_live (BlBench *self)
{
  return self->state != NULL && bl_board_state_may_be_live (bl_bench_get_board (self), self->state);
}

/* Struck lines count: somebody was asked. */
static gboolean
says (const BlRecord *record, const char *head)
{
  return record->kind == BL_RECORD_SUPPLY && record->text != NULL && g_str_has_prefix (record->text, head);
}

gboolean
bl_bench_wants_supply (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);

  if (!is_live (self))
    return FALSE;
  for (guint i = 0; i < bl_len (self->records); i++)
    if (says (bl_at (self->records, i), SUPPLY))
      return FALSE;
  return TRUE;
}

const char *
bl_bench_repaired_hot (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  const BlBoard *board = bl_bench_get_board (self);

  for (guint i = bl_len (self->records); i > 0; i--)
    {
      const BlRecord *record = bl_at (self->records, i - 1);
      if (says (record, BEFORE))
        return NULL;
      if (record->kind == BL_RECORD_REPLACED && !record->struck && record->subject != NULL
          && bl_safe_is_hot_part (board, record->subject))
        return record->subject;
    }
  return NULL;
}

const char *
bl_bench_wants_before_power (BlBench *self)
{
  g_return_val_if_fail (BL_IS_BENCH (self), NULL);
  const BlBoard *board = bl_bench_get_board (self);
  const char *part = is_live (self) ? bl_bench_repaired_hot (self) : NULL;

  /* Replaced under a state that was declared live before: power has not come back since. */
  for (guint i = bl_len (self->records); part != NULL && i > 0; i--)
    {
      const BlRecord *record = bl_at (self->records, i - 1);
      if (record->kind == BL_RECORD_REPLACED && g_strcmp0 (record->subject, part) == 0 && !record->struck)
        return NULL;
      if (!record->struck
          && ((record->kind == BL_RECORD_STATE && bl_board_state_may_be_live (board, record->subject))
              || (record->kind == BL_RECORD_READING && bl_board_state_may_be_live (board, record->state))))
        return part;
    }
  return NULL;
}

static gboolean
say (BlBench *self, char *text, GError **error)
{
  g_autofree char *kept = text;
  g_autoptr (BlRecord) record = bl_record_new (BL_RECORD_SUPPLY, self->state, kept);

  return bl_bench_append (self, record, error);
}

gboolean
bl_bench_say_supply (BlBench *self, BlSupply supply, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return say (self, text_of (SUPPLY, supplies, G_N_ELEMENTS (supplies), supply), error);
}

gboolean
bl_bench_say_before_power (BlBench *self, BlBefore done, GError **error)
{
  g_return_val_if_fail (BL_IS_BENCH (self), FALSE);
  return say (self, text_of (BEFORE, befores, G_N_ELEMENTS (befores), done), error);
}
