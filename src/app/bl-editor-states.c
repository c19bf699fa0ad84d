/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What the editor says about board states, symptoms and indications, and about the board as a whole:
 * all open, for there are few of each. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-style.h"

static void
add_button (BlSheet *sheet, BlElement element, const char *words, const char *tip, const BlRef *ref)
{
  g_autofree char *act = g_strdup_printf ("add-%d", element);
  bl_sheet_button (sheet, words, NULL, tip, act, ref);
}

static void
heading (BlSheet *sheet, const char *words, const char *hint)
{
  bl_sheet_line (sheet, "list-head block", 0, NULL, NULL);
  bl_sheet_words (sheet, words, "heading");
  bl_sheet_words (sheet, hint, "muted stretch");
}

/* --- states --- */

static void
state_lines (BlSheet *sheet, const BlState *state)
{
  BlRef ref = bl_ref (BL_ELEMENT_STATE, state->id);
  g_autofree char *label = g_strdup_printf (_ ("State %s"), state->title != NULL ? state->title : state->id);

  bl_sheet_line (sheet, "above", 0, &ref, label);
  bl_sheet_slot (sheet, &ref, BL_SLOT_TITLE, -1, FALSE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_LIVE, 0, TRUE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_VOLTS, 8, TRUE);
  bl_sheet_button (sheet, "✕", NULL, _ ("Delete this state and its measurements"), "remove", &ref);
  bl_sheet_line (sheet, NULL, 16, &ref, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_HOW, -1, TRUE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_ID, 8, TRUE);
  bl_sheet_line (sheet, NULL, 16, &ref, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_ENTER_S, 7, TRUE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_LASTS_S, 7, TRUE);
  bl_sheet_line (sheet, NULL, 16, &ref, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_DEAD_PROOF, 0, TRUE);
  if (state->live != 1 && (state->dead_proof == NULL || state->dead_proof[0] == NULL))
    bl_sheet_words (sheet, _ ("what is measured to prove the board dead"), "muted stretch");
  if (state->live == 1)
    return;
  bl_sheet_line (sheet, NULL, 16, &ref, NULL);
  bl_sheet_slot (sheet, &ref, BL_SLOT_CAPACITOR, 0, TRUE);
  if (state->capacitor != NULL)
    bl_sheet_slot (sheet, &ref, BL_SLOT_BLEEDER, 0, TRUE);
}

/* --- symptoms --- */

static void
symptom_lines (BlSheet *sheet, const BlSymptom *symptom)
{
  BlRef ref = bl_ref (BL_ELEMENT_SYMPTOM, symptom->id);
  g_autofree char *label = g_strdup_printf (_ ("Symptom %s"), symptom->title != NULL ? symptom->title : symptom->id);

  bl_sheet_line (sheet, "above", 0, &ref, label);
  bl_sheet_slot (sheet, &ref, BL_SLOT_ID, 6, FALSE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_TITLE, -1, FALSE);
  add_button (sheet, BL_ELEMENT_WHEN, _ ("+ when"), _ ("Add a stage or measurement that shows this symptom"), &ref);
  bl_sheet_button (sheet, "✕", NULL, _ ("Delete this symptom"), "remove", &ref);
  if (bl_len (symptom->when) == 0)
    {
      bl_sheet_line (sheet, NULL, 16, NULL, NULL);
      bl_sheet_words (sheet, _ ("not said when it shows: it tells nothing about the fault"), "muted wrap");
    }
  for (guint i = 0; i < bl_len (symptom->when); i++)
    {
      BlRef when = bl_ref_at (BL_ELEMENT_WHEN, symptom->id, i);
      bl_sheet_line (sheet, NULL, 16, NULL, NULL);
      bl_sheet_words (sheet, i == 0 ? _ ("shows when") : _ ("or when"), "muted");
      bl_sheet_slot (sheet, &when, BL_SLOT_ON, 0, FALSE);
      bl_sheet_words (sheet, _ ("is"), "muted");
      bl_sheet_slot (sheet, &when, BL_SLOT_IS, 0, FALSE);
      bl_sheet_words (sheet, _ ("in"), "muted");
      bl_sheet_slot (sheet, &when, BL_SLOT_STATE, 0, FALSE);
      bl_sheet_button (sheet, "✕", NULL, _ ("Delete this condition"), "remove", &when);
    }
}

/* --- indications --- */

static void
indication_lines (BlSheet *sheet, const BlIndication *indication, guint index)
{
  BlRef ref = bl_ref_at (BL_ELEMENT_INDICATION, NULL, index);
  g_autofree char *label = g_strdup_printf (_ ("Indication %u"), index + 1);

  bl_sheet_line (sheet, "above", 0, &ref, label);
  bl_sheet_slot (sheet, &ref, BL_SLOT_SYMPTOM, 0, TRUE);
  bl_sheet_slot (sheet, &ref, BL_SLOT_EDITION, 6, TRUE);
  bl_sheet_words (sheet, _ ("as"), "muted stretch");
  add_button (sheet, BL_ELEMENT_LAMP, _ ("+ lamp"), _ ("Add a lamp to this pattern"), &ref);
  bl_sheet_button (sheet, "✕", NULL, _ ("Delete this indication"), "remove", &ref);
  for (guint i = 0; i < bl_len (indication->pattern); i++)
    {
      BlRef lamp = bl_ref_lamp (index, i);
      bl_sheet_line (sheet, NULL, 16, NULL, NULL);
      bl_sheet_slot (sheet, &lamp, BL_SLOT_LAMP, 12, TRUE);
      bl_sheet_slot (sheet, &lamp, BL_SLOT_BLINKS, 4, TRUE);
      bl_sheet_slot (sheet, &lamp, BL_SLOT_RATE, 6, TRUE);
      bl_sheet_slot (sheet, &lamp, BL_SLOT_STEADY, 0, TRUE);
      bl_sheet_button (sheet, "✕", NULL, _ ("Delete this lamp"), "remove", &lamp);
    }
}

void
bl_editor_states_list (BlEditor *self, BlSheet *sheet)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  BlRef root = bl_ref (BL_ELEMENT_BOARD, NULL);

  heading (sheet, _ ("Board states"), _ ("what the board is brought into to be measured"));
  add_button (sheet, BL_ELEMENT_STATE, _ ("+ state"), _ ("Add a board state"), &root);
  for (guint i = 0; i < bl_len (board->states); i++)
    state_lines (sheet, bl_at (board->states, i));
  heading (sheet, _ ("Symptoms"), _ ("what the unit does or shows"));
  add_button (sheet, BL_ELEMENT_SYMPTOM, _ ("+ symptom"), _ ("Add a symptom"), &root);
  for (guint i = 0; i < bl_len (board->symptoms); i++)
    symptom_lines (sheet, bl_at (board->symptoms, i));
  heading (sheet, _ ("Indications"), _ ("lamp patterns, by the lamp's role"));
  add_button (sheet, BL_ELEMENT_INDICATION, _ ("+ indication"), _ ("Add a lamp pattern"), &root);
  for (guint i = 0; i < bl_len (board->indications); i++)
    indication_lines (sheet, bl_at (board->indications, i), i);
}

/* --- board --- */

static void
board_line (BlSheet *sheet, BlSlot slot, int chars)
{
  BlRef root = bl_ref (BL_ELEMENT_BOARD, NULL);

  bl_sheet_line (sheet, "form-line", 0, NULL, NULL);
  bl_sheet_words (sheet, bl_slot_label (BL_ELEMENT_BOARD, slot), "muted form-label");
  bl_sheet_slot (sheet, &root, slot, chars, FALSE);
}

void
bl_editor_board_list (BlEditor *self, BlSheet *sheet)
{
  heading (sheet, _ ("The board"), _ ("what is printed on it"));
  board_line (sheet, BL_SLOT_MAKER, -1);
  board_line (sheet, BL_SLOT_MODEL, -1);
  board_line (sheet, BL_SLOT_NUMBER, -1);
  board_line (sheet, BL_SLOT_EDITION, 8);
  bl_editor_compare_lines (self, sheet);
  board_line (sheet, BL_SLOT_MAINS_V, 10);
  board_line (sheet, BL_SLOT_MAINS_HZ, 10);
  board_line (sheet, BL_SLOT_NOTES, -1);
  bl_sheet_line (sheet, "list-head block", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Odds before anything is measured"), "heading stretch");
  bl_sheet_button (sheet, self->odds_shown ? _ ("fold") : _ ("unfold"), NULL, _ ("Show or fold the odds"), "odds",
                   NULL);
  if (!self->odds_shown)
    return;
  board_line (sheet, BL_SLOT_ODDS_FAULTS, 10);
  board_line (sheet, BL_SLOT_ODDS_ELSEWHERE, 10);
  board_line (sheet, BL_SLOT_ODDS_OTHER, 10);
  board_line (sheet, BL_SLOT_ODDS_SETUP, 10);
  board_line (sheet, BL_SLOT_ODDS_MISREPORT, 10);
}
