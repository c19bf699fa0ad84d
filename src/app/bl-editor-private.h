/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-coverage-ask.h"
#include "bl-editor.h"
#include "bl-finder.h"
#include "bl-known-good.h"
#include "bl-layers.h"
#include "bl-measurement-entry.h"
#include "bl-photo-loader.h"
#include "bl-photo-view.h"
#include "bl-sheet.h"

G_BEGIN_DECLS

typedef enum
{
  BL_EDITOR_POINTS,
  BL_EDITOR_STRUCTURE,
  BL_EDITOR_STATES,
  BL_EDITOR_BOARD,
  BL_EDITOR_CHECKS,
  BL_EDITOR_GOOD,
  BL_EDITOR_PHOTOS,
  BL_N_EDITOR_PARTS
} BlEditorPart;

typedef struct _BlEditorPlacing BlEditorPlacing;
typedef struct BlEditorChecklist BlEditorChecklist;

struct _BlEditor
{
  GtkWidget parent_instance;

  BlLibrary *library; /* of the application */
  BlEdition *edition;
  BlEditorPart part;
  gboolean has_selected;
  BlRef selected;
  gboolean placing;    /* a press on the photo places a point, or the component in hand */
  gboolean placing_selected; /* the point in hand, which has no place yet, instead of a new one */
  gboolean scaling;          /* presses on the photo are the ends of a known distance */
  guint scale_places;        /* how many were pressed, 2 at most */
  double scale_at[4];        /* x, y, x, y in photo pixels */
  gboolean picking;          /* the next press on a point chooses what the measurement in hand follows */
  gboolean on_thing;         /* the last press on the photo hit something */
  gboolean changed;          /* since it was shown */
  gboolean odds_shown; /* unfolded on the board part */
  gboolean choosing_template;  /* in place of the part in hand */
  char *template;              /* the one chosen, NULL: none yet */
  GHashTable *template_feeds;  /* port of it -> stage of the board */

  GtkWidget *box, *title, *maker, *undo, *redo;
  GtkWidget *segments, *tools, *photo, *parts[BL_N_EDITOR_PARTS], *hand, *hand_scroll, *entry, *list, *list_scroll;
  GtkWidget *keys;
  GtkWidget *tool_point, *tool_rectangle, *tool_polygon, *tool_layers;
  GtkWidget *finder, *layers;
  BlEditorPlacing *run;    /* placing one after the other */
  char *fly_photo;         /* to fly to a place on it once it is there; NULL: none */
  double fly_to[4];        /* x0, y0, x1, y1 in photo pixels */
  char *photo_id;          /* shown; NULL: the board has none */
  BlPhotoLoader *loader;
  GtkFileChooserNative *chooser;
  guint refresh_idle;

  /* Another photo beside it while landmarks are set; bl-editor-landmarks.c */
  GtkWidget *beside_box, *beside_name, *beside_next, *beside;
  char *beside_id;         /* NULL: to be chosen */
  gboolean landmarking;    /* presses set landmarks */
  char *asked_anew;        /* the one that the next press sets again; NULL: the next in order */
  GPtrArray *skipped;      /* names not to be asked for, NULL-terminated; NULL: none */
  const char *adding_side; /* of the photo being chosen */
  gboolean far_hidden;     /* what is on other photos is not shown */

  BlEditorChecklist *checklist;
  BlKnownGood *good;          /* NULL: to be read anew */
  guint good_generation;
  BlCoverage *coverage;       /* NULL: not known yet */
  char *coverage_trouble;     /* why it cannot be */
  BlCoverageAsk *coverage_ask; /* under way, for the generation below */
  guint coverage_generation;
  gboolean coverage_asked;
  struct BlEditorModes *modes; /* the failure mode in hand; NULL: none yet */
};

/* bl-editor.c */
void bl_editor_select (BlEditor *self, const BlRef *ref);
void bl_editor_set_part (BlEditor *self, BlEditorPart part);
void bl_editor_queue_refresh (BlEditor *self);
/* Says what did not work. Takes error. Returns: FALSE. */
gboolean bl_editor_report (BlEditor *self, GError *error);
/* Back to the list. */
void bl_editor_leave (BlEditor *self);

/* bl-editor-layout.c */
/* Makes all widgets of the editor; returns what holds them. (transfer floating) */
GtkWidget *bl_editor_build (BlEditor *self);

/* bl-editor-acts.c */
/* Something was pressed: a key, a button, on a sheet. ref: what it is about, or NULL. */
void bl_editor_act (BlEditor *self, const char *act, const BlRef *ref);
/* Lets the measurement in hand follow the one at this test point; bl-editor-follow.c. */
void bl_editor_pick_followed (BlEditor *self, const char *point);
void bl_editor_begin_picking (BlEditor *self, gboolean picking);
BlPhotoTool bl_editor_get_tool (BlEditor *self);
/* At most one of: placing, a drawing tool. */
void bl_editor_set_tool (BlEditor *self, gboolean placing, BlPhotoTool tool);

/* bl-editor-photo.c */
/* A loader for the photos of the edition, all to be read anew. */
void bl_editor_photo_open (BlEditor *self);
void bl_editor_photo_refresh (BlEditor *self);
void bl_editor_photo_forget (BlEditor *self);
void bl_editor_photo_reveal (BlEditor *self, const BlRef *ref);

/* bl-editor-photo-items.c */
GPtrArray *bl_editor_photo_items (BlEditor *self);
GPtrArray *bl_editor_photo_outlines (BlEditor *self);

/* bl-editor-photo-sides.c */
void bl_editor_photo_sides (BlEditor *self);
void bl_editor_photo_side (BlEditor *self);
void bl_editor_photo_show (BlEditor *self, const char *photo);

/* bl-editor-photo-press.c */
void bl_editor_photo_connect (BlEditor *self);
/* Takes the distance typed between the two places. */
void bl_editor_photo_scale (GtkEntry *entry, BlEditor *self);

/* bl-editor-entry.c */
/* FALSE: not one of its acts. */
gboolean bl_editor_entry_act (BlEditor *self, const char *act);
/* A key while the photo has the focus that begins the line of the point in hand. FALSE: it is none. */
gboolean bl_editor_entry_typed (BlEditor *self, GtkWidget *focus, guint keyval, GdkModifierType state);
void bl_editor_entry_black_pressed (BlPhotoView *view, BlPhotoItemKind kind, const char *id, BlEditor *self);

/* bl-editor-landmarks.c */
/* Holds the photo and the one beside it. (transfer floating) */
GtkWidget *bl_editor_landmarks_build (BlEditor *self);
/* The photo beside the one shown, NULL: none. (transfer none) */
const BlPhoto *bl_editor_landmarks_beside (BlEditor *self);
/* The landmark the next press on the photo shown sets; NULL: a new one. (transfer none) */
const char *bl_editor_landmarks_asked (BlEditor *self);
void bl_editor_landmarks_items (BlEditor *self, GPtrArray *items, const char *photo);
void bl_editor_landmarks_refresh (BlEditor *self);
void bl_editor_landmarks_press (BlEditor *self, gboolean on_beside, double x, double y);
void bl_editor_landmarks_drag (BlEditor *self, const char *photo, const char *id, double x, double y);
void bl_editor_landmarks_choose (BlEditor *self, const char *photo, const char *id);
/* FALSE: not one of its acts. */
gboolean bl_editor_landmarks_act (BlEditor *self, const char *act, const BlRef *ref);
/* Presses set no landmarks any more. */
void bl_editor_landmarks_forget (BlEditor *self);

/* bl-editor-lengths.c */
void bl_editor_lengths_connect (BlEditor *self);
gboolean bl_editor_lengths_act (BlEditor *self, const char *act);

/* bl-editor-photos.c */
void bl_editor_photos_hand (BlEditor *self, BlSheet *sheet);
void bl_editor_photos_list (BlEditor *self, BlSheet *sheet);
/* side: "front" or "back", static */
void bl_editor_photos_add (BlEditor *self, const char *side);
gboolean bl_editor_photos_act (BlEditor *self, const char *act, const BlRef *ref);
/* bl-editor-snap.c */
void bl_editor_snap_connect (BlEditor *self);

/* bl-editor-find.c */
/* Holds what holds the photo, and over it search and layers. (transfer floating) */
GtkWidget *bl_editor_find_build (BlEditor *self, GtkWidget *photos);
/* FALSE: not one of its acts. */
gboolean bl_editor_find_act (BlEditor *self, const char *act);
/* Moves the photo there, turned over where need be; says so where nobody has said where it is. */
void bl_editor_fly_to (BlEditor *self, const BlRef *ref);
/* After the photo was shown anew: ends what could not be done before. */
void bl_editor_fly_arrive (BlEditor *self);
BlLayersOf bl_editor_layers_of (BlEditor *self);
/* Where the photo itself is described nothing on it can be switched off. */
gboolean bl_editor_has_layers (BlEditor *self);
/* What the photo shows in this part. */
BlLayers bl_editor_layers (BlEditor *self);

/* bl-editor-placing.c: one thing after the other, in the parts Points and Structure. */
/* Makes the strip that stands there meanwhile. (transfer floating) */
GtkWidget *bl_editor_placing_build (BlEditor *self);
void bl_editor_placing_free (BlEditor *self);
/* waiting: only what the document has already and what has no place yet. */
void bl_editor_placing_begin (BlEditor *self, gboolean waiting);
void bl_editor_placing_end (BlEditor *self);
gboolean bl_editor_placing_is_on (BlEditor *self);
void bl_editor_placing_press (BlEditor *self, double x, double y);
void bl_editor_placing_pointed (BlEditor *self, double x, double y);
/* The document or what is in hand has changed. */
void bl_editor_placing_refresh (BlEditor *self);
gboolean bl_editor_placing_key (BlEditor *self, GtkWidget *focus, guint keyval, GdkModifierType state);

/* What the sheets say, one for each part. */
void bl_editor_points_hand (BlEditor *self, BlSheet *sheet);
void bl_editor_points_list (BlEditor *self, BlSheet *sheet);
void bl_editor_structure_hand (BlEditor *self, BlSheet *sheet);
void bl_editor_structure_list (BlEditor *self, BlSheet *sheet);
void bl_editor_states_list (BlEditor *self, BlSheet *sheet);
void bl_editor_board_list (BlEditor *self, BlSheet *sheet);
void bl_editor_checks_list (BlEditor *self, BlSheet *sheet);
/* The coverage is of another document from now on. */
void bl_editor_checks_forget (BlEditor *self);

/* The coverage of the document as it is now is asked for; self->coverage has it when it is there. */
void bl_editor_checks_ask (BlEditor *self);

/* bl-editor-checklist.c: what is still missing. (transfer floating) */
GtkWidget *bl_editor_checklist_build (BlEditor *self);
void bl_editor_checklist_refresh (BlEditor *self);
void bl_editor_checklist_forget (BlEditor *self);
void bl_editor_checklist_free (BlEditor *self);
void bl_editor_checklist_lines (BlEditor *self, BlSheet *sheet);
/* Key of the thing in hand; NULL: nothing is missing. Valid until the next refresh. */
const char *bl_editor_checklist_key (BlEditor *self);
/* FALSE: not one of its acts. */
gboolean bl_editor_checklist_act (BlEditor *self, const char *act);

/* bl-editor-good.c */
void bl_editor_good_hand (BlEditor *self, BlSheet *sheet, const BlMeasurement *measurement);
gboolean bl_editor_good_has (BlEditor *self, const char *measurement);
void bl_editor_good_list (BlEditor *self, BlSheet *sheet);
/* After the sheets: the cards that stayed say what holds now. */
void bl_editor_good_update (BlEditor *self);
void bl_editor_good_act (BlEditor *self, const char *act, const BlRef *ref);
/* What good boards read is to be read anew. */
void bl_editor_good_forget (BlEditor *self);
/* bl-editor-compare.c */
void bl_editor_compare_lines (BlEditor *self, BlSheet *sheet);
/* FALSE: not one of its acts. */
gboolean bl_editor_compare_act (BlEditor *self, const char *act);

/* bl-editor-modes.c */
void bl_editor_modes_hand (BlEditor *self, BlSheet *sheet, const BlComponent *component);
/* FALSE: not one of its acts. */
gboolean bl_editor_modes_act (BlEditor *self, const char *act, const BlRef *ref);
/* The document is another. */
void bl_editor_modes_changed (BlEditor *self);
void bl_editor_modes_forget (BlEditor *self);
/* bl-editor-preview.c */
/* FALSE: no failure mode is in hand, nothing was described. */
gboolean bl_editor_preview_list (BlEditor *self, BlSheet *sheet);
/* Adds the points that would read otherwise. */
void bl_editor_preview_points (BlEditor *self, GPtrArray *items);
/* bl-editor-template.c */
void bl_editor_template_hand (BlEditor *self, BlSheet *sheet);
/* FALSE: not one of its acts. */
gboolean bl_editor_template_act (BlEditor *self, const char *act);
void bl_editor_template_leave (BlEditor *self);

/* bl-editor-keys.c */
/* The act of a key, NULL: none. typing: the focus is in an entry. (transfer none) */
const char *bl_editor_keys_find (BlEditorPart part, guint keyval, GdkModifierType state, gboolean typing);
/* Fills a box with the caps that work in this part. */
void bl_editor_keys_show (GtkWidget *box, BlEditorPart part);

G_END_DECLS
