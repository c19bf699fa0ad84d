/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-slot.h"

#include "bl-document.h"

/* The example board, and every reference in it. */
static inline BlBoard *
example_board (void)
{
  g_autofree char *path = g_test_build_filename (G_TEST_DIST, "fixtures", "example-board.json", NULL);
  g_autofree char *text = NULL;
  g_autoptr (GError) error = NULL;

  g_file_get_contents (path, &text, NULL, &error);
  g_assert_no_error (error);
  BlBoard *board = bl_document_parse (text, -1, NULL, &error);
  g_assert_no_error (error);
  return board;
}

static inline void
add_ref (GArray *refs, BlRef ref)
{
  g_array_append_val (refs, ref);
}

static inline void
add_mode_refs (GArray *refs, const BlComponent *component)
{
  for (guint m = 0; m < bl_len (component->modes); m++)
    {
      const BlMode *mode = bl_at (component->modes, m);
      add_ref (refs, bl_ref_mode (BL_ELEMENT_MODE, component->id, mode->mode, 0));
      for (guint i = 0; i < bl_len (mode->effects); i++)
        add_ref (refs, bl_ref_mode (BL_ELEMENT_EFFECT, component->id, mode->mode, i));
      for (guint i = 0; i < bl_len (mode->provokes); i++)
        add_ref (refs, bl_ref_mode (BL_ELEMENT_PROVOKES, component->id, mode->mode, i));
      for (guint i = 0; mode->shows != NULL && i < mode->shows->len; i++)
        add_ref (refs, bl_ref_mode (BL_ELEMENT_SHOW, component->id, mode->mode, i));
    }
}

static inline void
add_list_refs (GArray *refs, const GPtrArray *list, BlElement element)
{
  for (guint i = 0; i < bl_len (list); i++)
    add_ref (refs, bl_ref (element, *(char **) bl_at (list, i)));
}

static inline void
add_inner_refs (GArray *refs, const BlBoard *board)
{
  for (guint i = 0; i < bl_len (board->stages); i++)
    for (guint f = 0; f < bl_len (((BlStage *) bl_at (board->stages, i))->feeds); f++)
      add_ref (refs, bl_ref_at (BL_ELEMENT_FEED, ((BlStage *) bl_at (board->stages, i))->id, f));
  for (guint i = 0; i < bl_len (board->photos); i++)
    for (guint l = 0; l < bl_len (((BlPhoto *) bl_at (board->photos, i))->landmarks); l++)
      add_ref (refs, bl_ref_at (BL_ELEMENT_LANDMARK, ((BlPhoto *) bl_at (board->photos, i))->id, l));
  for (guint i = 0; i < bl_len (board->measurements); i++)
    for (guint m = 0; m < bl_len (((BlMeasurement *) bl_at (board->measurements, i))->expected.marks); m++)
      add_ref (refs, bl_ref_at (BL_ELEMENT_MARK, ((BlMeasurement *) bl_at (board->measurements, i))->id, m));
  for (guint i = 0; i < bl_len (board->symptoms); i++)
    for (guint w = 0; w < bl_len (((BlSymptom *) bl_at (board->symptoms, i))->when); w++)
      add_ref (refs, bl_ref_at (BL_ELEMENT_WHEN, ((BlSymptom *) bl_at (board->symptoms, i))->id, w));
  for (guint i = 0; i < bl_len (board->indications); i++)
    {
      add_ref (refs, bl_ref_at (BL_ELEMENT_INDICATION, NULL, i));
      for (guint l = 0; l < bl_len (((BlIndication *) bl_at (board->indications, i))->pattern); l++)
        add_ref (refs, bl_ref_lamp (i, l));
    }
}

static inline GArray *
all_refs (const BlBoard *board)
{
  GArray *refs = g_array_new (FALSE, FALSE, sizeof (BlRef));

  add_ref (refs, bl_ref (BL_ELEMENT_BOARD, NULL));
  add_list_refs (refs, board->states, BL_ELEMENT_STATE);
  add_list_refs (refs, board->photos, BL_ELEMENT_PHOTO);
  add_list_refs (refs, board->sections, BL_ELEMENT_SECTION);
  add_list_refs (refs, board->ports, BL_ELEMENT_PORT);
  add_list_refs (refs, board->stages, BL_ELEMENT_STAGE);
  add_list_refs (refs, board->components, BL_ELEMENT_COMPONENT);
  add_list_refs (refs, board->test_points, BL_ELEMENT_TEST_POINT);
  add_list_refs (refs, board->measurements, BL_ELEMENT_MEASUREMENT);
  add_list_refs (refs, board->symptoms, BL_ELEMENT_SYMPTOM);
  for (guint i = 0; i < bl_len (board->components); i++)
    add_mode_refs (refs, bl_at (board->components, i));
  add_inner_refs (refs, board);
  return refs;
}
