/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include <gio/gio.h>

#include "bl-expected.h"
#include "bl-library-steps.h"

G_BEGIN_DECLS

/* The open board document: every change is one labelled command, one transaction in the library and
 * one step of undo. A change that would break the document's rules is refused with the reason.
 *
 * What was done today can be undone when the program was closed meanwhile.
 *
 * Signals: "changed" after every change, undo and redo (read everything anew); "photo-changed", before it, with the id
 * of a photo that is another picture now;
 * properties "undo-label" and "redo-label" (NULL: nothing to undo or redo) notify. */
#define BL_TYPE_EDITION (bl_edition_get_type ())
G_DECLARE_FINAL_TYPE (BlEdition, bl_edition, BL, EDITION, GObject)

BlEdition *bl_edition_new (BlLibrary *library, gint64 board, GError **error);
/* The boards of an equipment of the library joined into one (bl_library_join_equipment ()), to be read and not
 * changed: a commit is refused, there is nothing to undo, bl_edition_get_id () is 0. */
BlEdition *bl_edition_new_joined (BlLibrary *library, gint64 equipment, GError **error);
/* Valid until the next change. (transfer none) */
const BlBoard *bl_edition_get_board (BlEdition *self);
BlLibrary *bl_edition_get_library (BlEdition *self);
gint64 bl_edition_get_id (BlEdition *self);
/* Rises with every change: what was computed for an older one is stale. */
guint bl_edition_get_generation (BlEdition *self);

/* General form of a change: begin gives a copy to change freely, commit checks, saves and announces
 * it, cancel drops it. Changes with the same non-NULL merge key that follow each other make one step
 * of undo (a drag, typing in one field). label: what undo will say, translated. */
BlBoard *bl_edition_begin (BlEdition *self, const char *label, const char *merge_key);
gboolean bl_edition_commit (BlEdition *self, GError **error);
void bl_edition_cancel (BlEdition *self);

/* What belongs to a change beside the document (a photo, an answer, a mark): done in the library in the same step, so
 * that it is undone with it. Only calls of the library that can be undone, see bl-library-steps.h. */
typedef gboolean (*BlEditionAside) (BlEdition *self, gpointer data, GError **error);
gboolean bl_edition_commit_with (BlEdition *self, BlEditionAside aside, gpointer data, GError **error);
/* A step of undo in which the document stays as it is. */
gboolean bl_edition_aside (BlEdition *self, const char *label, BlEditionAside aside, gpointer data, GError **error);

/* Says that a photo is another picture now. */
void bl_edition_photo_changed (BlEdition *self, const char *photo);
/* Reads the document anew where something else changed it. */
gboolean bl_edition_catch_up (BlEdition *self, GError **error);
/* The job on the bench that changes are made in: they stand in its history, too. */
void bl_edition_set_job (BlEdition *self, gint64 job);
/* A step of this edition was taken through the job's history. */
gboolean bl_edition_follow_step (BlEdition *self, const BlStepTaken *taken, GError **error);

gboolean bl_edition_undo (BlEdition *self, GError **error);
gboolean bl_edition_redo (BlEdition *self, GError **error);
const char *bl_edition_get_undo_label (BlEdition *self);
const char *bl_edition_get_redo_label (BlEdition *self);
/* Number of the step that undo would take, 0: none; a new step has a higher one than all before. */
guint bl_edition_get_step (BlEdition *self);

/* What the checks say about the document now, warnings included: GPtrArray of BlProblem. */
GPtrArray *bl_edition_get_problems (BlEdition *self);

/* Usual changes, each one step of undo. Ids are made when NULL: the first free of TP1, TP2 ...;
 * they return the new id (transfer full) or NULL with error. */
char *bl_edition_add_test_point (BlEdition *self, const char *photo, double x, double y, GError **error);
/* A test point and its one measurement as one step; returns the measurement's id. */
char *bl_edition_add_read_point (BlEdition *self, const char *photo, double x, double y, BlMeasures measures,
                                 const char *state, GError **error);
gboolean bl_edition_move_test_point (BlEdition *self, const char *id, double x, double y, GError **error);
/* Also for sections, stages, components, measurements, test points: a new id where nothing else has
 * it, all references follow. kind: "test point", "section", "stage", "component", "measurement",
 * "state", "photo". */
gboolean bl_edition_rename (BlEdition *self, const char *kind, const char *id, const char *new_id, GError **error);
/* Removes it and what cannot stand without it (measurements of a point, modes' effects on it ...). */
gboolean bl_edition_remove (BlEdition *self, const char *kind, const char *id, GError **error);
char *bl_edition_add_section (BlEdition *self, const char *title, const char *kind, GError **error);
char *bl_edition_add_stage (BlEdition *self, const char *section, const char *title, GError **error);
char *bl_edition_add_component (BlEdition *self, const char *id, const char *kind, const char *stage, GError **error);
/* Adds a measurement at a test point (or none), with state and black lead as given. */
char *bl_edition_add_measurement (BlEdition *self, const char *test_point, BlMeasures measures,
                                  const char *state, const char *black, GError **error);
/* Sets what a measurement expects from the one-line form of bl-expected.h. */
gboolean bl_edition_set_expected (BlEdition *self, const char *measurement, const char *text, GError **error);
/* Adds a photo to the document and the library. side: "front" or "back". */
char *bl_edition_add_photo (BlEdition *self, const char *side, const char *mime, GBytes *image,
                            GBytes *thumbnail, GError **error);
/* Puts another picture in the place of a photo; what is marked on it stays where it is, in pixels. */
gboolean bl_edition_set_picture (BlEdition *self, const char *photo, const char *mime, GBytes *image,
                                   GBytes *thumbnail, GError **error);

/* A new board in the library made from one photo: states "off" and "run", nothing else.
 * Returns its id, 0 on error. */
gint64 bl_edition_create (BlLibrary *library, gboolean provisional, const char *mime, GBytes *image,
                          GBytes *thumbnail, GError **error);

G_END_DECLS
