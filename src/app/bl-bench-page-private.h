/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-bench-capture.h"
#include "bl-bench-equipment.h"
#include "bl-bench-layout.h"
#include "bl-bench-page.h"
#include "bl-bench-photos.h"
#include "bl-bench-register.h"
#include "bl-choice-panel.h"
#include "bl-fault-panel.h"
#include "bl-finder.h"
#include "bl-focus-panel.h"
#include "bl-key-strip.h"
#include "bl-layers.h"
#include "bl-log-view.h"
#include "bl-measurement-list.h"
#include "bl-next-view.h"
#include "bl-places-bar.h"
#include "bl-probe-view.h"
#include "bl-state-banner.h"
#include "bl-suspects-view.h"
#include "bl-told-panel.h"
#include "bl-tree-pane.h"
#include "bl-tree-view.h"
#include "bl-why-panel.h"
#include "bl-wrap-box.h"

G_BEGIN_DECLS

/* Shared by bl-bench-page.c (what is shown) and bl-bench-choices.c (what is chosen). */
struct _BlBenchPage
{
  GtkWidget parent_instance;

  BlLibrary *library; /* of the application */
  BlBench *bench;
  BlBenchPhotos *photos;
  GSimpleActionGroup *actions;
  BlBenchCapture *capture;

  GtkWidget *overlay, *box, *banner, *places, *stack, *layout, *strip, *segments, *photo, *twin, *chip, *no_job;
  GtkWidget *focus, *list, *suspects, *next, *tree, *chart, *log, *choice, *why, *shown, *told, *proving, *probe, *keys;
  GtkWidget *log_hint;        /* beside the heading of the log: time spent */
  char *photo_key, *twin_key; /* NULL: none */
  GtkWidget *wiring;          /* the drawing of an equipment, in the photo's place */
  char *lamps_role;           /* box whose lamps the fault shown is about; NULL: one board */
  gboolean provisional;       /* a board from a photo alone: pressing the photo adds a point */
  BlMeasures kind;            /* of points added by pressing the photo */
  char *pending_mark;         /* words to be placed by the next press on the photo */
  char *asked;                /* text that was asked about; entering it again keeps it */
  char *part;                 /* component chosen, while its result is asked for */
  guint before_power;         /* what was ticked, while it is asked for */
  gint64 striking;            /* record chosen, while the reason is asked for */
  char *shown_part;           /* component taken in the full tree: marked on the photo; NULL: none */
  char *symptom;              /* chosen, while yes or no is asked for */
  GtkWidget *finder, *layers;
  gboolean has_found;         /* the part below was searched for and is shown on the photo ... */
  BlRef found;
  BlMeasurementItem *found_beside; /* ... as long as this is in hand; only compared */
  char *fly_key;              /* photo to fly on once it is there; NULL: none */
  double fly_to[4];           /* x0, y0, x1, y1 in its pixels */
  GtkFileChooserNative *chooser;
  struct BlBenchTime *time;
  char *repair_part, *repair_old, *repair_new, *repair_why; /* while they are asked for; part NULL: nothing is */
  BlBenchRegister registering;
  BlBenchUse use;
  char **allowed;  /* actions that can be done at all; NULL: every one */
  GtkWidget *panel; /* of a drill or a replay; NULL: none */
};

/* bl-bench-page.c */
void bl_bench_page_refresh (BlBenchPage *self);
void bl_bench_page_show_photo (BlBenchPage *self, const char *key);
void bl_bench_page_show_twin (BlBenchPage *self, const char *key);
/* TRUE when ok; otherwise says what did not work. Takes error. */
gboolean bl_bench_page_check (BlBenchPage *self, gboolean ok, const char *what, GError **error);

/* Somebody else takes the proof of dead, so that it is not to be typed. */
gboolean bl_bench_page_proof_is_taken (BlBenchPage *self);

/* Says what a followed reading changed of other verdicts, if anything. */
void bl_bench_page_say_followers (BlBenchPage *self);

gboolean bl_bench_page_in_probe (BlBenchPage *self);
/* TRUE for a board from a photo alone, as the library has it now. */
gboolean bl_bench_page_is_provisional (BlBenchPage *self);

/* Enter was pressed in an entry for values. */
void bl_bench_page_value_entered (GtkWidget *widget, const char *text, BlBenchPage *self);
/* The list shows what the reading being typed would be. */
void bl_bench_page_previewed (BlFocusPanel *panel, gpointer reading, gpointer verdict, BlBenchPage *self);

/* bl-bench-build.c */
/* Makes the parts and puts each where it belongs. */
void bl_bench_build_layout (BlBenchPage *self);

/* bl-bench-use.c */
/* Disables what is not for the use of the page. */
void bl_bench_use_limit (BlBenchPage *self);

/* bl-bench-actions.c */
void bl_bench_actions_add (BlBenchPage *self);
/* Enables what makes sense now, and shows it in the key strip. */
void bl_bench_actions_update (BlBenchPage *self);

/* bl-bench-view.c */
void bl_bench_view_show_marks (BlBenchPage *self);
void bl_bench_view_update_probe (BlBenchPage *self);
void bl_bench_view_reveal (BlBenchPage *self);
void bl_bench_view_frame (BlBenchPage *self, BlPhotoView *photo);
void bl_bench_view_fill_sections (BlBenchPage *self);
const BlTestPoint *bl_bench_view_point (BlBenchPage *self);
void bl_bench_view_point_activated (BlPhotoView *view, int kind, const char *id, BlBenchPage *self);
void bl_bench_view_pressed (BlPhotoView *view, double x, double y, BlBenchPage *self);
void bl_bench_view_loaded (BlBenchPage *self);

/* bl-bench-find.c: search and layers. */
void bl_bench_find_build (BlBenchPage *self, GtkOverlay *overlay);
/* What the corner of the photo offers. (transfer floating) */
GtkWidget *bl_bench_find_corner (BlBenchPage *self);
/* A button of it; action NULL: none. (transfer floating) */
GtkWidget *bl_bench_corner_button (BlBenchPage *self, const char *cap, const char *words, const char *action);
void bl_bench_find_add_actions (BlBenchPage *self);
void bl_bench_find_forget (BlBenchPage *self);
/* Adds what the layers show and takes away what they do not; returns them. */
BlLayers bl_bench_layers_show (BlBenchPage *self, GPtrArray *items, GPtrArray *outlines);
/* After a photo was shown: ends a flight that had to wait for it. */
void bl_bench_fly_arrive (BlBenchPage *self); /* nothing while the photo is being opened */

/* bl-bench-register.c: landmarks of a photo of the job. */
/* Puts its panel beside the photos, its key among those of the corner. (transfer floating) */
GtkWidget *bl_bench_register_build (BlBenchPage *self, GtkWidget *photos, GtkGrid *corner);
/* While they are set: adds the landmarks to what stands on the photo, quiets the rest, and shows the panel. */
void bl_bench_register_show (BlBenchPage *self, GPtrArray *items, GPtrArray *outlines);
/* FALSE: no landmarks are being set, so the press is about something else. */
gboolean bl_bench_register_press (BlBenchPage *self, double x, double y);
gboolean bl_bench_register_key (BlBenchPage *self, guint keyval, GdkModifierType state);
void bl_bench_register_photo_changed (BlBenchPage *self);
void bl_bench_register_forget (BlBenchPage *self);

/* bl-bench-boxes.c: a job on an equipment, and on a board of one. */
/* The line of places. (transfer floating) */
GtkWidget *bl_bench_boxes_build (BlBenchPage *self);
void bl_bench_boxes_begin (BlBenchPage *self); /* a job was put on the bench */
/* After readings: where one denies the document's supply direction, offers the other one. */
void bl_bench_boxes_ask_denied (BlBenchPage *self);
void bl_bench_boxes_add_actions (BlBenchPage *self);
gboolean bl_bench_boxes_can (BlBenchPage *self, const char *action);
/* FALSE: the answer was about something else. */
gboolean bl_bench_boxes_chosen (BlBenchPage *self, const char *tag, const char *id);
/* bl-bench-report.c */
gboolean bl_bench_report_chosen (BlBenchPage *self, const char *tag, const char *id);
gboolean bl_bench_label_chosen (BlBenchPage *self, const char *tag, const char *id);

/* bl-bench-wiring.c: the drawing of an equipment. */
GtkWidget *bl_bench_wiring_build (BlBenchPage *self); /* (transfer floating) */
void bl_bench_wiring_begin (BlBenchPage *self);
/* Shows it or the photo, whichever was asked for. */
void bl_bench_wiring_show (BlBenchPage *self);
void bl_bench_wiring_refresh (BlBenchPage *self);
/* Key of the picture that goes with the measurement in hand; NULL: that shown now. (transfer none) */
const char *bl_bench_wiring_picture (BlBenchPage *self);
gboolean bl_bench_wiring_key (BlBenchPage *self, guint keyval, GdkModifierType state);

/* bl-bench-states.c */
void bl_bench_states_add_actions (BlBenchPage *self);
void bl_bench_states_ask_proof (BlBenchPage *self);
/* Declares the state, then offers the proof of dead where it is asked for. */
void bl_bench_states_declare (BlBenchPage *self, const char *state);

/* bl-bench-tree-acts.c: the fault tree in full. */
void bl_bench_tree_connect (BlBenchPage *self);
void bl_bench_tree_add_actions (BlBenchPage *self);
void bl_bench_tree_open (BlBenchPage *self, gboolean open);
/* While it is open: goes to the component (or stage) in tree and photo. FALSE: it is not open. */
gboolean bl_bench_tree_show (BlBenchPage *self, const char *component);
void bl_bench_tree_show_point (BlBenchPage *self);
/* Does what this action of the photo says with the tree, while the keyboard is there. */
gboolean bl_bench_tree_view (BlBenchPage *self, const char *name);
/* Adds the component taken in the tree to what stands on the photo. */
void bl_bench_tree_add_item (BlBenchPage *self, GPtrArray *items);

/* bl-bench-why-acts.c: the panel "why" and what can be done from it. */
void bl_bench_why_connect (BlBenchPage *self);
void bl_bench_why_add_actions (BlBenchPage *self);

/* bl-bench-shown.c: the panel "the fault shown". */
void bl_bench_shown_connect (BlBenchPage *self);
void bl_bench_shown_add_actions (BlBenchPage *self);

/* bl-bench-cause-choices.c */
void bl_bench_causes_add_actions (BlBenchPage *self);
/* After a replacement: an offer to say whether the part was the cause. */
void bl_bench_causes_offer (BlBenchPage *self, const char *component);
/* FALSE: not a question of its own. */
gboolean bl_bench_causes_entered (BlBenchPage *self, const char *tag, const char *words);
gboolean bl_bench_causes_chosen (BlBenchPage *self, const char *tag, const char *id);

/* bl-bench-meter-choices.c */
void bl_bench_meter_ask (BlBenchPage *self);
void bl_bench_meter_chosen (BlBenchPage *self, const char *id);
/* A job that is opened and has no meter yet is given the shop's usual one. */
void bl_bench_meter_begin (BlBenchPage *self);

/* bl-bench-told-acts.c: what goes out to somebody else, and what comes back. */
GtkWidget *bl_bench_told_build (BlBenchPage *self); /* the panel; (transfer floating) */
void bl_bench_told_add_actions (BlBenchPage *self);
gboolean bl_bench_told_chosen (BlBenchPage *self, const char *tag, const char *id);
/* TRUE while one types in the panel: then the key is for nothing else here. *used: it did something. */
gboolean bl_bench_told_key (BlBenchPage *self, guint keyval, GdkModifierType state, gboolean *used);

/* bl-bench-choices.c */
/* Asks why this line of the log is struck, then strikes it. */
void bl_bench_choices_strike (BlBenchPage *self, gint64 record);
/* Asks what is expected at the measurement in hand. */
void bl_bench_choices_expected (BlBenchPage *self);
/* Opens the choice panel beside what it is about. */
void bl_bench_choices_open (BlBenchPage *self, BlPlace near);
void bl_bench_choices_add_actions (BlBenchPage *self);

/* bl-bench-good.c */
/* FALSE: the answer was about something else. */
gboolean bl_bench_good_chosen (BlBenchPage *self, const char *tag, const char *id);
void bl_bench_good_add_actions (BlBenchPage *self);
void bl_bench_choices_chosen (BlBenchPage *self, const char *tag, const char *id);
/* Asks for words in the panel; they come back with the tag. */
void bl_bench_choices_ask (BlBenchPage *self, const char *tag, const char *title, const char *placeholder,
                           const char *initial, BlPlace near);
/* What follows a replacement: cautions, and whether the part was the cause. */
void bl_bench_choices_after_replaced (BlBenchPage *self, const char *component);
/* Asks what became of a component. */
void bl_bench_choices_part (BlBenchPage *self, const char *component);

/* bl-bench-name.c */
/* Asks for what is printed on the board and is not said yet, one after the other. */
void bl_bench_name_ask (BlBenchPage *self);
void bl_bench_name_entered (BlBenchPage *self, const char *tag, const char *words);

/* bl-bench-label.c: the label of the job. */
void bl_bench_label_add_actions (BlBenchPage *self);

G_END_DECLS
