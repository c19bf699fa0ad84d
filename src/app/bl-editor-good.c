/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Known-good boards in the editor: below the band of the measurement in hand, and all measurements that such boards
 * were read at in a part of their own. What was read is read anew when the document changed or the editor is shown
 * again: a job may have been marked meanwhile. */
#include "config.h"

#include "bl-editor-private.h"

#include <glib/gi18n-lib.h>

#include "bl-good-card.h"
#include "bl-known-good-words.h"
#include "bl-settings.h"
#include "bl-shell.h"
#include "bl-style.h"

static double
share (const char *key)
{
  GSettings *settings = bl_settings ();

  return settings != NULL ? g_settings_get_double (settings, key) / 100 : 0.95;
}

void
bl_editor_good_forget (BlEditor *self)
{
  g_clear_pointer (&self->good, bl_known_good_free);
}

/* NULL: it cannot be had; that is said in the log only, since nobody asked for it. */
static BlKnownGood *
known (BlEditor *self)
{
  guint generation = bl_edition_get_generation (self->edition);
  g_autoptr (GError) error = NULL;

  if (self->good != NULL && self->good_generation == generation)
    return self->good;
  bl_editor_good_forget (self);
  self->good = bl_known_good_new (self->edition, share ("good-coverage"), share ("good-confidence"), &error);
  self->good_generation = generation;
  if (self->good == NULL)
    g_warning ("%s", error->message);
  return self->good;
}

/* --- cards --- */

static void
card_act (BlGoodCard *card, const char *act, BlEditor *self)
{
  BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, bl_good_card_get_measurement (card));

  bl_editor_act (self, act, &ref);
}

static void
add_card (BlEditor *self, BlSheet *sheet, const char *measurement, gboolean raised)
{
  g_autofree char *key = g_strdup_printf ("known-good %s", measurement);
  GtkWidget *card = bl_good_card_new (measurement, raised);

  g_signal_connect_object (card, "act", G_CALLBACK (card_act), self, 0);
  bl_good_card_show (BL_GOOD_CARD (card), known (self));
  bl_sheet_widget (sheet, key, card);
}

/* Cards stay where their line does; what they say is brought up to date. */
static void
update_cards (GtkWidget *widget, BlKnownGood *good)
{
  if (BL_IS_GOOD_CARD (widget))
    {
      bl_good_card_show (BL_GOOD_CARD (widget), good);
      return;
    }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    update_cards (child, good);
}

void
bl_editor_good_update (BlEditor *self)
{
  if (self->part != BL_EDITOR_GOOD && self->part != BL_EDITOR_POINTS)
    return;
  update_cards (self->part == BL_EDITOR_GOOD ? self->list : self->hand, known (self));
}

/* --- in hand --- */

gboolean
bl_editor_good_has (BlEditor *self, const char *measurement)
{
  BlKnownGood *good = known (self);

  return good != NULL && bl_known_good_find (good, measurement) != NULL;
}

void
bl_editor_good_hand (BlEditor *self, BlSheet *sheet, const BlMeasurement *measurement)
{
  if (!bl_editor_good_has (self, measurement->id))
    return;
  bl_sheet_line (sheet, "good-card above", 0, NULL, NULL);
  add_card (self, sheet, measurement->id, TRUE);
}

/* --- all of them --- */

static const char *
titled (const char *title, const char *id)
{
  return title != NULL && *title != '\0' ? title : id;
}

static void
measurement_lines (BlEditor *self, BlSheet *sheet, const BlMeasurement *measurement)
{
  const BlBoard *board = bl_edition_get_board (self->edition);
  const BlState *state = measurement->state != NULL ? bl_board_state (board, measurement->state) : NULL;
  BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, measurement->id);
  g_autofree char *words = g_strdup_printf (_ ("%s · %s, %s"), titled (measurement->title, ""),
                                            _ (bl_measures_name (measurement->measures)),
                                            state != NULL ? titled (state->title, state->id) : "–");
  g_autofree char *label = g_strdup_printf (_ ("Known-good boards at %s, %s"), measurement->id, words);

  bl_sheet_line (sheet, "good-head above", 0, &ref, label);
  bl_sheet_name (sheet, measurement->at != NULL ? measurement->at : measurement->id, "strong id-column");
  bl_sheet_words (sheet, words, "stretch");
  bl_sheet_button (sheet, _ ("edit"), NULL, _ ("Edit this measurement"), "go", &ref);
  bl_sheet_line (sheet, "good-card", 0, &ref, NULL);
  add_card (self, sheet, measurement->id, FALSE);
}

static void
head_lines (BlSheet *sheet, BlKnownGood *good)
{
  guint n = bl_known_good_n_boards (good);
  g_autofree char *share = g_strdup_printf (_ ("A proposed band holds %g %% of good boards, with %g %% confidence "
                                               "(Preferences, Ctrl ,). Left and Right say which board a dot is."),
                                            100 * bl_known_good_coverage (good), 100 * bl_known_good_confidence (good));
  g_autofree char *boards = g_strdup_printf (ngettext ("%u board", "%u boards", n), n);

  bl_sheet_line (sheet, "list-head", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Known-good boards"), "heading");
  bl_sheet_words (sheet, boards, "muted");
  bl_sheet_words (sheet, _ ("lane: documented · frame: proposed · dashed: without the outlier"), "muted small stretch");
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet, share, "muted small wrap");
}

static void
nothing_lines (BlSheet *sheet)
{
  bl_sheet_line (sheet, "list-head", 0, NULL, NULL);
  bl_sheet_words (sheet, _ ("Known-good boards"), "heading stretch");
  bl_sheet_line (sheet, NULL, 0, NULL, NULL);
  bl_sheet_words (sheet,
                  _ ("None of this edition yet. Begin a job for a board that works and tick “known-good board”, or "
                     "mark a job on the bench with Ctrl Shift G. What is read in it shows here as dots; from ten "
                     "boards on, a band is proposed."),
                  "muted wrap");
}

/* What has an open proposal first: it is what there is to do. */
static void
lines_of (BlEditor *self, BlSheet *sheet, BlKnownGood *good, gboolean open)
{
  const BlBoard *board = bl_edition_get_board (self->edition);

  for (guint i = 0; i < bl_len (board->measurements); i++)
    {
      const BlMeasurement *measurement = bl_at (board->measurements, i);
      const BlGoodProposal *proposal = bl_known_good_find (good, measurement->id);
      gboolean computed = proposal != NULL && proposal->state >= BL_GOOD_TOO_FEW;
      if (proposal != NULL && computed == open)
        measurement_lines (self, sheet, measurement);
    }
}

void
bl_editor_good_list (BlEditor *self, BlSheet *sheet)
{
  BlKnownGood *good = known (self);

  if (good == NULL || bl_known_good_n_boards (good) == 0)
    {
      nothing_lines (sheet);
      return;
    }
  head_lines (sheet, good);
  lines_of (self, sheet, good, TRUE);
  lines_of (self, sheet, good, FALSE);
}

void
bl_editor_show_good (BlEditor *self)
{
  g_return_if_fail (BL_IS_EDITOR (self));
  bl_editor_set_part (self, BL_EDITOR_GOOD);
}

static void
collect_cards (GtkWidget *widget, GPtrArray *cards)
{
  if (BL_IS_GOOD_CARD (widget))
    {
      g_ptr_array_add (cards, widget);
      return;
    }
  for (GtkWidget *child = gtk_widget_get_first_child (widget); child != NULL;
       child = gtk_widget_get_next_sibling (child))
    collect_cards (child, cards);
}

/* To the dots of the measurement before or after the one in hand. */
static void
step (BlEditor *self, int by)
{
  g_autoptr (GPtrArray) cards = g_ptr_array_new ();
  int at = by > 0 ? -1 : 1;

  collect_cards (self->list, cards);
  for (guint i = 0; self->has_selected && i < cards->len; i++)
    if (g_strcmp0 (bl_good_card_get_measurement (bl_at (cards, i)), self->selected.id) == 0)
      at = (int) i;
  at = CLAMP (at + by, 0, (int) cards->len - 1);
  if (cards->len == 0)
    return;
  BlGoodCard *card = bl_at (cards, (guint) at);
  BlRef ref = bl_ref (BL_ELEMENT_MEASUREMENT, bl_good_card_get_measurement (card));
  bl_good_card_take_focus (card);
  bl_editor_select (self, &ref);
  bl_editor_photo_reveal (self, &ref);
}

/* --- answers --- */

static gboolean
count_again (BlKnownGood *good, const char *measurement, GError **error)
{
  const BlGoodProposal *proposal = bl_known_good_find (good, measurement);

  for (guint i = 0; proposal != NULL && i < proposal->boards->len; i++)
    {
      const BlGoodBoard *board = bl_at (proposal->boards, i);
      if (board->use == BL_GOOD_LEFT_OUT && !bl_known_good_leave_out (good, measurement, board->job, FALSE, error))
        return FALSE;
    }
  return TRUE;
}

void
bl_editor_good_act (BlEditor *self, const char *act, const BlRef *ref)
{
  BlKnownGood *good = known (self);
  GError *error = NULL;
  gboolean ok;

  if (g_str_equal (act, "good-next") || g_str_equal (act, "good-previous"))
    {
      step (self, g_str_equal (act, "good-next") ? 1 : -1);
      return;
    }
  if (ref == NULL && self->has_selected && self->selected.element == BL_ELEMENT_MEASUREMENT)
    ref = &self->selected;
  if (good == NULL || ref == NULL || ref->id == NULL)
    return;
  if (g_str_equal (act, "good-accept") || g_str_equal (act, "good-accept-without"))
    {
      /* The change of the document drops what is known: this keeps it until it is done. */
      g_autoptr (BlKnownGood) owned = g_steal_pointer (&self->good);
      ok = bl_known_good_accept (owned, ref->id, g_str_equal (act, "good-accept-without"), &error);
      if (ok)
        {
          g_autofree char *words = g_strdup_printf (_ ("%s has the proposed band. Ctrl Z brings the old one back."),
                                                    ref->id);
          bl_widget_notify (GTK_WIDGET (self), words);
        }
    }
  else if (g_str_equal (act, "good-refuse"))
    ok = bl_known_good_refuse (good, ref->id, &error);
  else if (g_str_equal (act, "good-offer"))
    ok = bl_known_good_offer (good, ref->id, &error);
  else
    ok = count_again (good, ref->id, &error);
  if (!ok)
    bl_editor_report (self, error);
  bl_editor_good_forget (self);
  bl_editor_queue_refresh (self);
}
