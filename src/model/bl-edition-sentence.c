/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Sentences about failure modes written into the open document, and effects that common practice proposes. */
#include "config.h"

#include "bl-edition-sentence.h"

#include "bl-board-edit.h"
#include "bl-document.h"
#include "bl-edition-parts.h"
#include "bl-effect-sentence-private.h"
#include "bl-usual-effects.h"

#include <glib/gi18n-lib.h>
#include <string.h>

/* --- what stays as it was --- */

/* The old effect that says the same, taken out of the list of the old ones. */
static BlEffect *
take_effect (const BlComponent *component, GPtrArray *old, const BlEffect *now)
{
  for (guint i = 0; i < bl_len (old); i++)
    if (bl_effect_says_same (component, bl_at (old, i), now))
      return g_ptr_array_steal_index (old, i);
  return NULL;
}

static void
take_links (GPtrArray *old, const GPtrArray *now)
{
  for (guint i = 0; i < bl_len (now); i++)
    for (guint k = 0; k < bl_len (old); k++)
      {
        BlProvokes *to = bl_at (now, i), *from = bl_at (old, k);
        if (g_strcmp0 (to->component, from->component) == 0 && g_strcmp0 (to->mode, from->mode) == 0)
          to->notes = g_steal_pointer (&from->notes);
      }
}

/* Takes the effects and what else is said from read; name and notes stay. */
static void
take_over (const BlComponent *component, BlMode *mode, BlMode *read)
{
  for (guint i = 0; i < bl_len (read->effects); i++)
    {
      BlEffect *kept = take_effect (component, mode->effects, bl_at (read->effects, i));
      if (kept == NULL)
        continue;
      bl_effect_free (bl_at (read->effects, i));
      g_ptr_array_index (read->effects, i) = kept;
    }
  take_links (mode->provokes, read->provokes);
  g_clear_pointer (&mode->effects, g_ptr_array_unref);
  g_clear_pointer (&mode->provokes, g_ptr_array_unref);
  g_clear_pointer (&mode->shows, g_array_unref);
  mode->effects = g_steal_pointer (&read->effects);
  mode->provokes = g_steal_pointer (&read->provokes);
  mode->shows = g_steal_pointer (&read->shows);
  mode->weight = read->weight;
}

/* FALSE with error: a name that is taken. */
static gboolean
put (BlBoard *board, const char *id, const char *old, BlMode *read, GError **error)
{
  BlComponent *component = bl_board_component (board, id);
  BlMode *mode = old != NULL ? bl_component_mode (component, old) : NULL;

  if (g_strcmp0 (old, read->mode) != 0 && bl_component_mode (component, read->mode) != NULL)
    {
      g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_INVALID, _ ("%s has a failure mode “%s” already"), id, read->mode);
      return FALSE;
    }
  if (mode == NULL)
    {
      mode = bl_mode_new ();
      mode->mode = g_strdup (read->mode);
      bl_append (&component->modes, mode, (GDestroyNotify) bl_mode_free);
    }
  else if (g_strcmp0 (old, read->mode) != 0)
    bl_board_rename_mode (board, id, old, read->mode);
  take_over (component, mode, read);
  return TRUE;
}

/* --- sentences --- */

gboolean
bl_edition_set_sentence (BlEdition *self, const char *id, const char *mode, const char *text, char **name, gsize *place,
                         GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && id != NULL && text != NULL, FALSE);
  const BlBoard *board = bl_edition_get_board (self);
  const BlComponent *component = bl_board_component (board, id);
  const BlMode *old = component != NULL && mode != NULL ? bl_component_mode (component, mode) : NULL;

  if (component == NULL || (mode != NULL && old == NULL))
    {
      g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("It is not there any more"));
      return FALSE;
    }
  g_autoptr (BlMode) read = bl_mode_from_sentence (board, component, text, place, error);
  if (read == NULL)
    return FALSE;
  g_autofree char *now = g_strdup (read->mode);
  if (place != NULL)
    *place = strlen (text);
  if (old == NULL || !bl_mode_says_same (component, old, read))
    {
      g_autofree char *label = old == NULL ? g_strdup_printf (_ ("Add %s %s"), id, now)
                                           : g_strdup_printf (_ ("Change what %s %s does"), id, mode);
      BlBoard *draft = bl_edition_begin (self, label, NULL);
      if (!put (draft, id, mode, read, error) || !bl_board_check_in_words (draft, error))
        return bl_edition_cancel (self), FALSE;
      if (!bl_edition_commit (self, error))
        return FALSE;
    }
  if (name != NULL)
    *name = g_steal_pointer (&now);
  return TRUE;
}

BlBoard *
bl_sentence_draft (const BlBoard *board, const char *id, const char *mode, const char *text, char **name)
{
  g_return_val_if_fail (board != NULL && id != NULL && text != NULL, NULL);
  g_autoptr (BlBoard) draft = bl_board_copy (board);
  BlComponent *component = bl_board_component (draft, id);
  g_autoptr (BlMode) read = component != NULL ? bl_mode_from_sentence (draft, component, text, NULL, NULL) : NULL;

  if (read == NULL || (mode != NULL && bl_component_mode (component, mode) == NULL))
    return NULL;
  g_autofree char *now = g_strdup (read->mode);
  if (!put (draft, id, mode, read, NULL) || !bl_board_check_in_words (draft, NULL))
    return NULL;
  if (name != NULL)
    *name = g_steal_pointer (&now);
  return g_steal_pointer (&draft);
}

/* --- proposals --- */

gboolean
bl_mode_is_proposed (const BlMode *mode)
{
  g_return_val_if_fail (mode != NULL, FALSE);
  for (guint i = 0; i < bl_len (mode->effects); i++)
    if (g_strcmp0 (((BlEffect *) bl_at (mode->effects, i))->notes, BL_PROPOSED) == 0)
      return TRUE;
  return FALSE;
}

gboolean
bl_edition_accept_proposed (BlEdition *self, const char *id, const char *name, GError **error)
{
  g_return_val_if_fail (BL_IS_EDITION (self) && id != NULL && name != NULL, FALSE);
  g_autofree char *label = g_strdup_printf (_ ("Accept the effects of %s %s"), id, name);
  BlBoard *draft = bl_edition_begin (self, label, NULL);
  const BlComponent *component = bl_board_component (draft, id);
  const BlMode *mode = component != NULL ? bl_component_mode (component, name) : NULL;

  if (mode == NULL)
    {
      bl_edition_cancel (self);
      g_set_error_literal (error, BL_CORE_ERROR, BL_CORE_ERROR_UNKNOWN, _ ("It is not there any more"));
      return FALSE;
    }
  for (guint i = 0; i < bl_len (mode->effects); i++)
    {
      BlEffect *effect = bl_at (mode->effects, i);
      if (g_strcmp0 (effect->notes, BL_PROPOSED) != 0)
        continue;
      g_free (effect->notes);
      effect->notes = g_strdup (BL_ACCEPTED);
    }
  return bl_edition_commit (self, error);
}
