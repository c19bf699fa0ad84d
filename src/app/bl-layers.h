/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-photo-view.h"

G_BEGIN_DECLS

/* What is shown on a photo; the bits of the settings' flags. */
typedef enum
{
  BL_LAYER_POINTS = 1 << 0,
  BL_LAYER_NAMES = 1 << 1,
  BL_LAYER_COMPONENTS = 1 << 2,
  BL_LAYER_STAGES = 1 << 3,
  BL_LAYER_SECTIONS = 1 << 4,
  BL_LAYER_DIMMED = 1 << 5 /* the photo */
} BlLayers;
#define BL_N_LAYERS 6

/* Photos that remember layers of their own. */
typedef enum
{
  BL_LAYERS_BENCH,
  BL_LAYERS_EDIT_POINTS,
  BL_LAYERS_EDIT_STRUCTURE,
  BL_N_LAYERS_OF
} BlLayersOf;

BlLayers bl_layers_get (BlLayersOf of);
void bl_layers_set (BlLayersOf of, BlLayers layers);

/* Takes away what is switched off. What is in hand, the black lead, marks, the likely failed stage and
 * selected outlines stay; a name that is switched off shows near the pointer. */
void bl_layers_apply (BlLayers layers, GPtrArray *items, GPtrArray *outlines);

/* The switches, over the photo. Signal "changed": a layer was switched. "closed" */
#define BL_TYPE_LAYERS_PANEL (bl_layers_panel_get_type ())
G_DECLARE_FINAL_TYPE (BlLayersPanel, bl_layers_panel, BL, LAYERS_PANEL, GtkWidget)

GtkWidget *bl_layers_panel_new (void);
/* The photo it is about now. */
void bl_layers_panel_set_of (BlLayersPanel *self, BlLayersOf of);
void bl_layers_panel_toggle (BlLayersPanel *self);
void bl_layers_panel_close (BlLayersPanel *self);
gboolean bl_layers_panel_is_open (BlLayersPanel *self);
/* A key while it is open: the figure of a layer, Esc, in the editor L again. FALSE: not for it; a letter
 * closes it, so that it is in nobody's way. */
gboolean bl_layers_panel_key (BlLayersPanel *self, guint keyval, GdkModifierType state);

G_END_DECLS
