/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Evidence of an equipment's job that one of its boards can use.
 *
 * Readings of the board's own test points mean the same on the board alone, for there its ports are good and all
 * that may come in from outside is the one event "elsewhere". What was measured between the boards cannot be said
 * in the board's words and stays behind. Some tens of entries. */
#include "config.h"

#include "bl-carry.h"

#include <glib/gi18n-lib.h>
#include <string.h>

void
bl_carried_free (BlCarried *carried)
{
  if (carried == NULL)
    return;
  g_ptr_array_unref (carried->entries);
  g_array_unref (carried->from);
  g_array_unref (carried->left);
  g_free (carried);
}

typedef struct
{
  const BlBoard *joined, *board;
  const char *role;
  BlCarried *carried;
} Carry;

static void
leave (Carry *self, guint index, BlLeftReason reason)
{
  BlLeft left = { index, reason };

  g_array_append_val (self->carried->left, left);
}

static void
take (Carry *self, guint index, BlEntry *entry)
{
  g_ptr_array_add (self->carried->entries, entry);
  g_array_append_val (self->carried->from, index);
}

static void
set (char **text, const char *to)
{
  char *copy = g_strdup (to);

  g_free (*text);
  *text = copy;
}

/* Why what an id names does not belong to the board. "W3/other" has no role, though it looks like it. */
static BlLeftReason
reason_of (const Carry *self, const char *id)
{
  g_autofree char *role = bl_place_role (id);

  return role == NULL || bl_board_stage (self->joined, role) != NULL ? BL_LEFT_EQUIPMENT : BL_LEFT_OTHER_BOARD;
}

static gboolean
has_component (const BlBoard *board, const char *id)
{
  const char *slash = strchr (id, '/');
  g_autofree char *stage = slash != NULL ? g_strndup (id, (gsize) (slash - id)) : NULL;

  if (bl_board_component (board, id) != NULL)
    return TRUE;
  return stage != NULL && g_str_equal (slash, "/other") && bl_board_stage (board, stage) != NULL;
}

static void
carry_reading (Carry *self, guint index, const BlEntry *entry)
{
  const char *id = bl_place_strip (entry->subject, self->role);
  const char *black = bl_place_strip (entry->black, self->role);
  g_autoptr (BlEntry) copy = NULL;

  if (id == NULL)
    leave (self, index, reason_of (self, entry->subject));
  else if (bl_board_measurement (self->board, id) == NULL)
    leave (self, index, BL_LEFT_UNKNOWN);
  else if ((entry->black != NULL && (black == NULL || bl_board_test_point (self->board, black) == NULL))
           || (entry->state != NULL && bl_board_state (self->board, entry->state) == NULL))
    leave (self, index, BL_LEFT_LEADS);
  else
    {
      copy = bl_entry_copy (entry);
      set (&copy->subject, id);
      set (&copy->black, black);
      take (self, index, g_steal_pointer (&copy));
    }
}

static void
carry_part (Carry *self, guint index, const BlEntry *entry)
{
  const char *id = bl_place_strip (entry->subject, self->role);
  gboolean ours = id != NULL && has_component (self->board, id);
  g_autoptr (BlEntry) copy = bl_entry_copy (entry);

  if (ours)
    set (&copy->subject, id);
  else
    {
      leave (self, index, id != NULL ? BL_LEFT_UNKNOWN : reason_of (self, entry->subject));
      if (entry->kind != BL_ENTRY_REPLACED)
        return;
      copy->kind = BL_ENTRY_ROUND; /* in the same condition */
      g_clear_pointer (&copy->subject, g_free);
      g_clear_pointer (&copy->text, g_free);
    }
  take (self, index, g_steal_pointer (&copy));
}

static void
carry_symptom (Carry *self, guint index, const BlEntry *entry)
{
  const char *id = bl_place_strip (entry->subject, self->role);
  gboolean has_role = strchr (entry->subject, '/') != NULL;
  g_autoptr (BlEntry) copy = NULL;

  if (id == NULL && !has_role)
    id = entry->subject;
  if (id == NULL)
    leave (self, index, BL_LEFT_OTHER_BOARD);
  else if (bl_board_symptom (self->board, id) == NULL)
    leave (self, index, has_role ? BL_LEFT_UNKNOWN : BL_LEFT_EQUIPMENT);
  else if (entry->state != NULL && bl_board_state (self->board, entry->state) == NULL)
    leave (self, index, BL_LEFT_LEADS);
  else
    {
      copy = bl_entry_copy (entry);
      set (&copy->subject, id);
      take (self, index, g_steal_pointer (&copy));
    }
}

BlCarried *
bl_carry (GPtrArray *entries, const BlBoard *joined, const BlBoard *board, const char *role)
{
  g_return_val_if_fail (entries != NULL && joined != NULL && board != NULL && role != NULL, NULL);
  Carry self = { joined, board, role, g_new0 (BlCarried, 1) };

  self.carried->entries = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_entry_free);
  self.carried->from = g_array_new (FALSE, FALSE, sizeof (guint));
  self.carried->left = g_array_new (FALSE, FALSE, sizeof (BlLeft));
  for (guint i = 0; i < entries->len; i++)
    {
      const BlEntry *entry = bl_at (entries, i);
      switch (entry->kind)
        {
        case BL_ENTRY_READING:
          carry_reading (&self, i, entry);
          break;
        case BL_ENTRY_PART_TEST:
        case BL_ENTRY_REPLACED:
          carry_part (&self, i, entry);
          break;
        case BL_ENTRY_SYMPTOM:
          carry_symptom (&self, i, entry);
          break;
        case BL_ENTRY_ROUND:
        default:
          take (&self, i, bl_entry_copy (entry));
          break;
        }
    }
  return self.carried;
}

/* --- Words --- */

static guint
count_left (const BlCarried *carried, BlLeftReason reason)
{
  guint n = 0;

  for (guint i = 0; i < carried->left->len; i++)
    n += g_array_index (carried->left, BlLeft, i).reason == reason;
  return n;
}

/* sentence (transfer full) */
static void
add_sentence (GString *out, char *sentence)
{
  g_autofree char *text = sentence;

  g_string_append_printf (out, "%s%s", out->len > 0 ? " " : "", text);
}

/* Entries with something to say: not the rounds. */
static guint
count_taken (const BlCarried *carried)
{
  guint n = 0;

  for (guint i = 0; i < carried->entries->len; i++)
    n += ((const BlEntry *) bl_at (carried->entries, i))->kind != BL_ENTRY_ROUND;
  return n;
}

char *
bl_carried_words (const BlCarried *carried)
{
  g_return_val_if_fail (carried != NULL, NULL);
  g_autoptr (GString) out = g_string_new (NULL);
  guint n = count_taken (carried);

  add_sentence (out, n == 0 ? g_strdup (_("Nothing that was entered is about this board."))
                            : g_strdup_printf (ngettext ("%u entry of the equipment's job comes along.",
                                                         "%u entries of the equipment's job come along.", n), n));
  if ((n = count_left (carried, BL_LEFT_EQUIPMENT)) > 0)
    add_sentence (out, g_strdup_printf (ngettext ("%u field check or other entry between the boards stays there.",
                                                  "%u field checks and other entries between the boards stay there.",
                                                  n), n));
  if ((n = count_left (carried, BL_LEFT_OTHER_BOARD)) > 0)
    add_sentence (out, g_strdup_printf (ngettext ("%u entry is about another board.",
                                                  "%u entries are about another board.", n), n));
  if ((n = count_left (carried, BL_LEFT_UNKNOWN)) > 0)
    add_sentence (out, g_strdup_printf (ngettext ("%u entry is about something that the board's document lacks.",
                                                  "%u entries are about something that the board's document lacks.",
                                                  n), n));
  if ((n = count_left (carried, BL_LEFT_LEADS)) > 0)
    add_sentence (out, g_strdup_printf (ngettext ("%u reading is of a state or black lead that the board alone lacks.",
                                                  "%u readings are of states or black leads that the board alone lacks.",
                                                  n), n));
  return g_string_free (g_steal_pointer (&out), FALSE);
}
