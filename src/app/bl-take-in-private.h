/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-code-text.h"
#include "bl-job-tag-draw.h"
#include "bl-take-in-page.h"
#include "bl-take-in.h"

G_BEGIN_DECLS

/* Fields that a code can go to, by BlCodeField, and the others. */
enum
{
  BL_FIELD_CAME_WITH = BL_N_CODE_FIELDS,
  BL_FIELD_NUMBER, /* of the job */
  BL_N_FIELDS
};

struct _BlTakeInPage
{
  GtkWidget parent_instance;

  BlLibrary *library; /* of the application */
  GtkWidget *stack;   /* "form", "taken" */

  /* form: bl-take-in-form.c */
  GtkEditable *fields[BL_N_FIELDS]; /* BL_CODE_OTHER: NULL */
  GtkTextView *complaint;
  GtkWidget *subject_list, *doubt, *symptom, *symptom_row, *good, *problem;
  GPtrArray *subjects, *matching; /* BlSubject; matching points into subjects */
  const BlSubject *chosen;        /* of subjects; NULL: none */
  gboolean filling;               /* fields are set by the program */
  char *symptom_id;
  GPtrArray *symptoms; /* pairs of strings: id, title */

  /* beside it: bl-take-in-beside.c */
  GtkWidget *earlier_box, *photo_box, *code_box, *camera, *no_photo;
  GPtrArray *earlier; /* BlJob, of this serial number */
  gint64 return_of;
  GPtrArray *photos; /* BlTakenPhoto */
  BlCodeText *code;  /* read last, shown */
  GCancellable *reading;
  GtkFileChooserNative *chooser;

  /* after it */
  GtkWidget *taken_title, *taken_words;
  GtkWidget *tag_preview, *tag_choices[BL_N_TAG_SIZES + 2]; /* bl-take-in-tag.c; sizes, customer, complaint */
  gboolean filling_tag;
  gint64 taken;       /* id of the job that was taken in; 0: the form is open */
};

/* bl-take-in-form.c */
GtkWidget *bl_take_in_form_new (BlTakeInPage *self);
/* Empties every field. */
void bl_take_in_form_clear (BlTakeInPage *self);
/* Reads what a job can be about, and what is the next number. */
void bl_take_in_form_read (BlTakeInPage *self);
/* Sets a field as if it were typed. */
void bl_take_in_form_set (BlTakeInPage *self, guint field, const char *text);
const char *bl_take_in_form_get (BlTakeInPage *self, guint field);
/* Moves the choice of what the job is about. */
void bl_take_in_form_step (BlTakeInPage *self, int step);
/* What stands in it. (transfer full) */
BlTakeIn *bl_take_in_form_collect (BlTakeInPage *self);
void bl_take_in_form_say (BlTakeInPage *self, const char *problem);
/* The board a job was about, by what its head says. */
void bl_take_in_form_choose_board (BlTakeInPage *self, gint64 board, gint64 equipment);
/* There is a photo: where nothing is chosen yet it is about that. */
void bl_take_in_form_choose_photo (BlTakeInPage *self);

/* bl-take-in-tag.c */
GtkWidget *bl_take_in_tag_new (BlTakeInPage *self);
void bl_take_in_tag_show (BlTakeInPage *self);
/* A size, or what comes after the sizes: whether the customer, whether the complaint stands on it. */
void bl_take_in_tag_choose (BlTakeInPage *self, int which);

/* bl-take-in-beside.c */
GtkWidget *bl_take_in_beside_new (BlTakeInPage *self);
void bl_take_in_beside_clear (BlTakeInPage *self);
/* The serial number was changed. */
void bl_take_in_look_for_earlier (BlTakeInPage *self);
/* A code was read, by the camera, on a photo, or typed by a hand scanner. FALSE: it is a plain text and nothing was done. */
gboolean bl_take_in_use_code (BlTakeInPage *self, const char *text);
void bl_take_in_choose_photos (BlTakeInPage *self);
void bl_take_in_toggle_camera (BlTakeInPage *self);
void bl_take_in_toggle_return (BlTakeInPage *self);

G_END_DECLS
