/* SPDX-License-Identifier: GPL-3.0-or-later
 *
 * Changes to any part of the open document by reference. Whatever is added is valid as it stands: a
 * document in the library can always be opened and diagnosed, also while somebody is half way through
 * describing it.
 */
#include "config.h"

#include "bl-edition-parts.h"

#include "bl-board-edit.h"
#include "bl-designator.h"
#include "bl-document.h"
#include "bl-kinds.h"
#include "bl-usual-effects.h"

#include <glib/gi18n-lib.h>
#include <string.h>

gboolean
bl_board_check_in_words (const BlBoard *board, GError **error)
{
  g_return_val_if_fail (board != NULL, FALSE);
  g_autoptr (GPtrArray) problems = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_problem_free);

  if (bl_board_validate (board, problems))
    return TRUE;
  for (guint i = 0; i < problems->len; i++)
    {
      const BlProblem *problem = bl_at (problems, i);
      if (problem->warning)
        continue;
      BlRef ref = bl_ref_from_path (board, problem->path);
      g_autofree char *where = bl_ref_words (board, &ref);
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, "%s: %s", where, problem->message);
      break;
    }
  return FALSE;
}

/* Commits, or says in words at which part of the document what is wrong. */
static gboolean
commit (BlEdition *self, const BlBoard *draft, GError **error)
{
  if (bl_board_check_in_words (draft, error))
    return bl_edition_commit (self, error);
  bl_edition_cancel (self);
  return FALSE;
}

static gboolean
refuse (BlEdition *self, GError **error, const char *reason)
{
  bl_edition_cancel (self);
  g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, reason);
  return FALSE;
}

gboolean
bl_edition_set_slot (BlEdition *self, const BlRef *ref, BlSlot slot, const char *text, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && ref != NULL && text != NULL, FALSE);
  const BlBoard *board = bl_edition_get_board (self);
  g_autofree char *old = bl_slot_get (board, ref, slot);
  g_autofree char *trimmed = g_strstrip (g_strdup (text));

  if (g_strcmp0 (old, trimmed) == 0)
    return TRUE;
  g_autofree char *words = bl_ref_words (board, ref);
  g_autofree char *label = g_strdup_printf (_ ("Change “%s” of %s"), bl_slot_label (ref->element, slot), words);
  BlBoard *draft = bl_edition_begin (self, label, NULL);
  if (!bl_slot_set (draft, ref, slot, trimmed, error))
    {
      bl_edition_cancel (self);
      return FALSE;
    }
  return commit (self, draft, error);
}

/* --- adding --- */

static void
add_state (BlBoard *board, BlRef *added)
{
  BlState *state = bl_state_new ();

  state->id = bl_board_free_id (board, BL_KIND_STATE, "state");
  bl_append (&board->states, state, (GDestroyNotify) bl_state_free);
  *added = bl_ref (BL_ELEMENT_STATE, state->id);
}

static void
add_port (BlBoard *board, BlRef *added)
{
  BlPort *port = bl_port_new ();

  for (guint n = 1; port->id == NULL; n++)
    {
      g_autofree char *id = g_strdup_printf ("port%u", n);
      if (bl_board_port (board, id) == NULL)
        port->id = g_steal_pointer (&id);
    }
  bl_append (&board->ports, port, (GDestroyNotify) bl_port_free);
  *added = bl_ref (BL_ELEMENT_PORT, port->id);
}

static void
add_section (BlBoard *board, BlRef *added)
{
  BlSection *section = bl_section_new ();

  section->id = bl_board_free_id (board, BL_KIND_SECTION, "section");
  bl_append (&board->sections, section, (GDestroyNotify) bl_section_free);
  *added = bl_ref (BL_ELEMENT_SECTION, section->id);
}

static void
add_stage (BlBoard *board, const BlRef *parent, BlRef *added)
{
  BlStage *stage = bl_stage_new ();

  stage->id = bl_board_free_id (board, BL_KIND_STAGE, "stage");
  stage->section = g_strdup (parent->id);
  bl_append (&board->stages, stage, (GDestroyNotify) bl_stage_free);
  *added = bl_ref (BL_ELEMENT_STAGE, stage->id);
}

/* "R12" is followed by R13, or the next that is free. (transfer full) */
static char *
next_designator (const BlBoard *board, const char *last)
{
  g_autoptr (GHashTable) taken = bl_designator_set_new ();

  for (guint i = 0; i < bl_len (board->components); i++)
    bl_designator_set_add (taken, ((const BlComponent *) bl_at (board->components, i))->id);
  return bl_designator_free (last, taken);
}

/* Parts of a kind are described one after the other: the new one goes on where the last one ended. */
static void
add_component (BlBoard *board, const BlRef *parent, BlRef *added)
{
  BlComponent *component = bl_component_new ();
  guint n = bl_len (board->components);
  const BlComponent *last = n > 0 ? bl_at (board->components, n - 1) : NULL;

  component->id = last != NULL ? next_designator (board, last->id) : g_strdup ("U1");
  component->kind = g_strdup (last != NULL && last->kind != NULL ? last->kind : "ic");
  component->stage = g_strdup (parent->id);
  bl_append (&board->components, component, (GDestroyNotify) bl_component_free);
  *added = bl_ref (BL_ELEMENT_COMPONENT, component->id);
}

static const char *
add_feed (BlBoard *board, BlStage *stage, BlRef *added)
{
  g_autofree char *from = bl_board_possible_feed (board, stage);

  if (from == NULL)
    return _ ("There is no other stage or port that could feed it");
  BlFeed *feed = bl_feed_new ();
  feed->from = g_steal_pointer (&from);
  bl_append (&stage->feeds, feed, (GDestroyNotify) bl_feed_free);
  stage->has_feeds = TRUE;
  *added = bl_ref_at (BL_ELEMENT_FEED, stage->id, bl_len (stage->feeds) - 1);
  return NULL;
}

static void
add_effect (BlMode *mode, const char *is)
{
  BlEffect *effect = bl_effect_new ();

  effect->is = g_strsplit (is, "\t", -1);
  bl_append (&mode->effects, effect, (GDestroyNotify) bl_effect_free);
}

static BlMode *
add_mode (BlComponent *component, const char *name)
{
  BlMode *mode = bl_mode_new ();

  mode->mode = g_strdup (name);
  bl_append (&component->modes, mode, (GDestroyNotify) bl_mode_free);
  return mode;
}

/* The first usual mode that is not there yet, or "fault 1", "fault 2" ... */
static void
add_some_mode (BlComponent *component, BlRef *added)
{
  g_autofree const char **usual = bl_kind_modes (component->kind);
  g_autofree char *name = NULL;

  for (guint i = 0; usual != NULL && usual[i] != NULL && name == NULL; i++)
    if (bl_component_mode (component, usual[i]) == NULL)
      name = g_strdup (usual[i]);
  for (guint n = 1; name == NULL; n++)
    {
      g_autofree char *numbered = g_strdup_printf (_ ("fault %u"), n);
      if (bl_component_mode (component, numbered) == NULL)
        name = g_steal_pointer (&numbered);
    }
  add_effect (add_mode (component, name), "absent");
  *added = bl_ref_mode (BL_ELEMENT_MODE, component->id, name, 0);
}

static const char *
add_provokes (const BlBoard *board, const BlRef *parent, BlMode *mode, BlRef *added)
{
  BlRef ref = bl_ref_mode (BL_ELEMENT_PROVOKES, parent->id, parent->mode, bl_len (mode->provokes));
  g_autoptr (GPtrArray) targets = bl_slot_choices (board, &ref, BL_SLOT_TARGET);

  for (guint i = 0; i < targets->len; i++)
    {
      g_auto (GStrv) halves = g_strsplit (((BlChoice *) bl_at (targets, i))->value, ":", 2);
      gboolean taken = FALSE;
      for (guint p = 0; p < bl_len (mode->provokes); p++)
        {
          const BlProvokes *other = bl_at (mode->provokes, p);
          taken |= g_strcmp0 (other->component, halves[0]) == 0 && g_strcmp0 (other->mode, halves[1]) == 0;
        }
      if (taken)
        continue;
      BlProvokes *link = bl_provokes_new ();
      link->component = g_strdup (halves[0]);
      link->mode = g_strdup (halves[1]);
      bl_append (&mode->provokes, link, (GDestroyNotify) bl_provokes_free);
      *added = ref;
      return NULL;
    }
  return _ ("There is no other failure mode that it could bring about");
}

static void
add_show (BlMode *mode, const BlRef *parent, BlRef *added)
{
  g_autofree char *condition = g_strdup (_ ("wet"));

  for (guint n = 2, i = 0; mode->shows != NULL && i < mode->shows->len; i++)
    if (g_strcmp0 (g_array_index (mode->shows, BlShows, i).condition, condition) == 0)
      {
        g_free (condition);
        condition = g_strdup_printf (_ ("condition %u"), n++);
        i = G_MAXUINT;
      }
  if (mode->shows == NULL)
    bl_mode_set_shows (mode, "", 1);
  bl_mode_set_shows (mode, condition, 1);
  *added = bl_ref_mode (BL_ELEMENT_SHOW, parent->id, parent->mode, mode->shows->len - 1);
}

static void
add_mark (BlMeasurement *measurement, BlRef *added)
{
  BlMark *mark = bl_mark_new ();
  guint n = bl_len (measurement->expected.marks);
  gboolean taken = TRUE;

  for (guint k = 1; taken; k++)
    {
      g_free (mark->id);
      mark->id = g_strdup_printf (_ ("mark %u"), k);
      taken = FALSE;
      for (guint i = 0; i < n; i++)
        taken |= g_strcmp0 (((BlMark *) bl_at (measurement->expected.marks, i))->id, mark->id) == 0;
    }
  /* Some interval outside the band, after the last mark, to be typed over. */
  double from = measurement->expected.high.value;
  BlBand *band = bl_band_resolve (measurement, NAN, NAN, NULL);
  if (band != NULL && isfinite (band->high))
    from = band->high;
  g_clear_pointer (&band, bl_band_free);
  for (guint i = 0; i < n; i++)
    from = fmax (from, ((BlMark *) bl_at (measurement->expected.marks, i))->high.value);
  from = isnan (from) ? 1 : from;
  mark->low.value = from + fmax (fabs (from), 1) * 0.1;
  mark->high.value = from + fmax (fabs (from), 1) * 0.2;
  bl_append (&measurement->expected.marks, mark, (GDestroyNotify) bl_mark_free);
  measurement->has_expected = TRUE;
  *added = bl_ref_at (BL_ELEMENT_MARK, measurement->id, n);
}

/* In the corner of the photo until it is placed. */
static void
add_landmark (BlPhoto *photo, BlRef *added)
{
  BlLandmark *landmark = bl_landmark_new ();
  guint n = bl_len (photo->landmarks);

  for (guint number = 1, taken = 1; taken > 0; number++)
    {
      g_free (landmark->id);
      landmark->id = g_strdup_printf ("L%u", number);
      taken = 0;
      for (guint i = 0; i < n; i++)
        taken += g_strcmp0 (((BlLandmark *) bl_at (photo->landmarks, i))->id, landmark->id) == 0;
    }
  landmark->x = landmark->y = 0;
  bl_append (&photo->landmarks, landmark, (GDestroyNotify) bl_landmark_free);
  *added = bl_ref_at (BL_ELEMENT_LANDMARK, photo->id, n);
}

static void
add_symptom (BlBoard *board, BlRef *added)
{
  BlSymptom *symptom = bl_symptom_new ();

  for (guint n = 1; symptom->id == NULL; n++)
    {
      g_autofree char *id = g_strdup_printf ("E%u", n);
      if (bl_board_symptom (board, id) == NULL)
        symptom->id = g_steal_pointer (&id);
    }
  bl_append (&board->symptoms, symptom, (GDestroyNotify) bl_symptom_free);
  *added = bl_ref (BL_ELEMENT_SYMPTOM, symptom->id);
}

static const char *
add_when (const BlBoard *board, BlSymptom *symptom, BlRef *added)
{
  if (bl_len (board->stages) == 0)
    return _ ("A symptom shows what a stage does: add a stage first");
  BlWhen *when = bl_when_new ();
  when->on = g_strdup (((BlStage *) bl_at (board->stages, bl_len (board->stages) - 1))->id);
  when->is = g_strsplit ("absent", "\t", -1);
  bl_append (&symptom->when, when, (GDestroyNotify) bl_when_free);
  *added = bl_ref_at (BL_ELEMENT_WHEN, symptom->id, bl_len (symptom->when) - 1);
  return NULL;
}

static void
add_lamp (BlIndication *indication, guint index, BlRef *added)
{
  BlLampPattern *lamp = bl_lamp_pattern_new ();

  lamp->lamp = g_strdup ("operation");
  lamp->blinks = 1;
  bl_append (&indication->pattern, lamp, (GDestroyNotify) bl_lamp_pattern_free);
  *added = bl_ref_lamp (index, bl_len (indication->pattern) - 1);
}

static const char *
add_indication (BlBoard *board, BlRef *added)
{
  BlRef lamp;

  if (bl_len (board->symptoms) == 0)
    return _ ("An indication shows a symptom: add a symptom first");
  BlIndication *indication = bl_indication_new ();
  indication->symptom = g_strdup (((BlSymptom *) bl_at (board->symptoms, bl_len (board->symptoms) - 1))->id);
  indication->edition = g_strdup (board->edition);
  add_lamp (indication, 0, &lamp);
  bl_append (&board->indications, indication, (GDestroyNotify) bl_indication_free);
  *added = bl_ref_at (BL_ELEMENT_INDICATION, NULL, bl_len (board->indications) - 1);
  return NULL;
}

/* NULL, or why it cannot be added. */
static const char *
add_to (BlBoard *board, const BlRef *parent, gpointer found, BlElement element, BlRef *added)
{
  switch (element)
    {
    case BL_ELEMENT_STATE:
      add_state (board, added);
      return NULL;
    case BL_ELEMENT_PORT:
      add_port (board, added);
      return NULL;
    case BL_ELEMENT_SECTION:
      add_section (board, added);
      return NULL;
    case BL_ELEMENT_STAGE:
      add_stage (board, parent, added);
      return NULL;
    case BL_ELEMENT_FEED:
      return add_feed (board, found, added);
    case BL_ELEMENT_COMPONENT:
      add_component (board, parent, added);
      return NULL;
    case BL_ELEMENT_MODE:
      add_some_mode (found, added);
      return NULL;
    case BL_ELEMENT_SHOW:
      add_show (found, parent, added);
      return NULL;
    case BL_ELEMENT_EFFECT:
      add_effect (found, "absent");
      *added = bl_ref_mode (element, parent->id, parent->mode, bl_len (((BlMode *) found)->effects) - 1);
      return NULL;
    case BL_ELEMENT_PROVOKES:
      return add_provokes (board, parent, found, added);
    case BL_ELEMENT_LANDMARK:
      add_landmark (found, added);
      return NULL;
    case BL_ELEMENT_MARK:
      add_mark (found, added);
      return NULL;
    case BL_ELEMENT_SYMPTOM:
      add_symptom (board, added);
      return NULL;
    case BL_ELEMENT_WHEN:
      return add_when (board, found, added);
    case BL_ELEMENT_INDICATION:
      return add_indication (board, added);
    case BL_ELEMENT_LAMP:
      add_lamp (found, parent->index, added);
      return NULL;
    default:
      g_return_val_if_reached ("");
    }
}

static const char *
add_label (BlElement element)
{
  switch (element)
    {
    case BL_ELEMENT_STATE:
      return _ ("Add state");
    case BL_ELEMENT_PORT:
      return _ ("Add port");
    case BL_ELEMENT_SECTION:
      return _ ("Add section");
    case BL_ELEMENT_STAGE:
      return _ ("Add stage");
    case BL_ELEMENT_FEED:
      return _ ("Add feed");
    case BL_ELEMENT_COMPONENT:
      return _ ("Add component");
    case BL_ELEMENT_MODE:
      return _ ("Add failure mode");
    case BL_ELEMENT_SHOW:
      return _ ("Add condition");
    case BL_ELEMENT_EFFECT:
      return _ ("Add effect");
    case BL_ELEMENT_PROVOKES:
      return _ ("Add what it brings about");
    case BL_ELEMENT_LANDMARK:
      return _ ("Add landmark");
    case BL_ELEMENT_MARK:
      return _ ("Add mark");
    case BL_ELEMENT_SYMPTOM:
      return _ ("Add symptom");
    case BL_ELEMENT_WHEN:
      return _ ("Add to symptom");
    case BL_ELEMENT_INDICATION:
      return _ ("Add indication");
    default:
      return _ ("Add lamp");
    }
}

gboolean
bl_edition_add_part (BlEdition *self, const BlRef *parent, BlElement element, BlRef *added, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && parent != NULL, FALSE);
  BlBoard *draft = bl_edition_begin (self, add_label (element), NULL);
  gpointer found = bl_ref_find (draft, parent);
  BlRef ignored;

  if (found == NULL)
    return refuse (self, error, _ ("What it belongs to is not there any more"));
  const char *trouble = add_to (draft, parent, found, element, added != NULL ? added : &ignored);
  return trouble != NULL ? refuse (self, error, trouble) : commit (self, draft, error);
}

/* --- removing --- */

static void
remove_at (GPtrArray *array, guint index)
{
  g_return_if_fail (index < bl_len (array));
  g_ptr_array_remove_index (array, index);
}

static void
remove_show (BlMode *mode, guint index)
{
  g_return_if_fail (mode->shows != NULL && index < mode->shows->len);
  g_array_remove_index (mode->shows, index);
}

static void
remove_from (BlBoard *board, const BlRef *ref)
{
  static const int kinds[BL_N_ELEMENTS] = {
    [BL_ELEMENT_STATE] = BL_KIND_STATE + 1,           [BL_ELEMENT_PHOTO] = BL_KIND_PHOTO + 1,
    [BL_ELEMENT_SECTION] = BL_KIND_SECTION + 1,       [BL_ELEMENT_STAGE] = BL_KIND_STAGE + 1,
    [BL_ELEMENT_COMPONENT] = BL_KIND_COMPONENT + 1,   [BL_ELEMENT_TEST_POINT] = BL_KIND_TEST_POINT + 1,
    [BL_ELEMENT_MEASUREMENT] = BL_KIND_MEASUREMENT + 1,
  };
  BlStage *stage = ref->element == BL_ELEMENT_FEED ? bl_board_stage (board, ref->id) : NULL;
  BlMode *mode = ref->mode != NULL ? bl_component_mode (bl_board_component (board, ref->id), ref->mode) : NULL;

  if (kinds[ref->element] > 0)
    bl_board_remove (board, (BlKind) (kinds[ref->element] - 1), ref->id);
  else if (ref->element == BL_ELEMENT_PORT)
    bl_board_remove_port (board, ref->id);
  else if (ref->element == BL_ELEMENT_SYMPTOM)
    bl_board_remove_symptom (board, ref->id);
  else if (ref->element == BL_ELEMENT_MODE)
    bl_board_remove_mode (board, ref->id, ref->mode);
  else if (ref->element == BL_ELEMENT_MARK)
    bl_board_remove_mark (board, ref->id, ((BlMark *) bl_ref_find (board, ref))->id);
  else if (ref->element == BL_ELEMENT_LANDMARK)
    remove_at (bl_board_photo (board, ref->id)->landmarks, ref->index);
  else if (ref->element == BL_ELEMENT_WHEN)
    remove_at (bl_board_symptom (board, ref->id)->when, ref->index);
  else if (ref->element == BL_ELEMENT_INDICATION)
    remove_at (board->indications, ref->index);
  else if (ref->element == BL_ELEMENT_LAMP)
    remove_at (((BlIndication *) bl_at (board->indications, ref->index))->pattern, ref->sub);
  else if (ref->element == BL_ELEMENT_EFFECT)
    remove_at (mode->effects, ref->index);
  else if (ref->element == BL_ELEMENT_PROVOKES)
    remove_at (mode->provokes, ref->index);
  else if (ref->element == BL_ELEMENT_SHOW)
    remove_show (mode, ref->index);
  else if (stage != NULL)
    {
      remove_at (stage->feeds, ref->index);
      if (stage->need > (int) bl_len (stage->feeds) || (bl_len (stage->feeds) == 0 && stage->need == BL_NEED_ANY))
        stage->need = BL_NEED_LEFT_OUT;
    }
}

gboolean
bl_edition_remove_part (BlEdition *self, const BlRef *ref, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && ref != NULL, FALSE);
  const BlBoard *board = bl_edition_get_board (self);

  if (ref->element == BL_ELEMENT_BOARD || bl_ref_find (board, ref) == NULL)
    return refuse (self, error, _ ("It is not there any more"));
  if (ref->element == BL_ELEMENT_STATE && bl_len (board->states) == 1)
    return refuse (self, error, _ ("A board has at least one state"));
  g_autofree char *words = bl_ref_words (board, ref);
  g_autofree char *label = g_strdup_printf (_ ("Delete %s"), words);
  BlBoard *draft = bl_edition_begin (self, label, NULL);
  remove_from (draft, ref);
  return commit (self, draft, error);
}

/* --- usual modes --- */

/* What common practice says of this failure, marked so until somebody accepts it. */
static void
propose_effect (BlMode *mode, const char *kind)
{
  const char *is = bl_usual_effect (kind, mode->mode);

  if (is == NULL)
    return;
  add_effect (mode, is);
  ((BlEffect *) bl_at (mode->effects, 0))->notes = g_strdup (BL_PROPOSED);
}

gboolean
bl_edition_add_usual_modes (BlEdition *self, const char *id, guint *n_added, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && id != NULL, FALSE);
  g_autofree char *label = g_strdup_printf (_ ("Add usual failure modes of %s"), id);
  BlBoard *draft = bl_edition_begin (self, label, NULL);
  BlComponent *component = bl_board_component (draft, id);
  guint n = 0;

  if (component == NULL)
    return refuse (self, error, _ ("It is not there any more"));
  g_autofree const char **usual = bl_kind_modes (component->kind);
  if (usual == NULL || usual[0] == NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN,
                   _ ("The table of failure modes has no row for the kind “%s”"), component->kind);
      bl_edition_cancel (self);
      return FALSE;
    }
  for (guint i = 0; usual[i] != NULL; i++)
    {
      if (bl_component_mode (component, usual[i]) != NULL)
        continue;
      propose_effect (add_mode (component, usual[i]), component->kind);
      n++;
    }
  if (n_added != NULL)
    *n_added = n;
  if (n > 0)
    return commit (self, draft, error);
  bl_edition_cancel (self);
  return TRUE;
}
