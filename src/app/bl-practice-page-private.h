/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-practice-page.h"
#include "bl-take-in.h"

G_BEGIN_DECLS

/* Shared by the parts of the page: bl-practice-people.c (left), bl-practice-begin.c and bl-practice-due.c (middle),
 * bl-practice-progress.c (right), bl-practice-page.c (what is begun). */
struct _BlPracticePage
{
  GtkWidget parent_instance;

  BlLibrary *shop;
  char *path;
  BlPractice *practice; /* NULL: not opened */
  GtkWidget *stack, *home, *activity, *trouble;

  /* who practises */
  GtkWidget *people, *add, *add_words, *acts, *sure, *sure_words;
  gint64 renaming; /* whom the entry renames; 0: it adds */
  gboolean filling;

  /* what to begin */
  GPtrArray *subjects; /* BlSubject, of boards and equipments */
  guint subject;       /* place in subjects */
  BlBoard *board;      /* its document; NULL: none */
  GtkWidget *subject_chooser, *sections, *kinds, *exercises, *drill_words, *nobody, *count, *compose;

  /* what is due, and drills */
  GtkWidget *due, *drills;

  /* how it goes */
  GtkWidget *progress, *chart, *progress_head, *progress_note, *csv, *pdf;
  GtkFileChooserNative *dialog;
};

GtkWidget *bl_practice_people_new (BlPracticePage *self);
void bl_practice_people_show (BlPracticePage *self);
void bl_practice_people_focus (BlPracticePage *self);

GtkWidget *bl_practice_begin_new (BlPracticePage *self);
/* Reads boards and equipments of the shop anew. */
void bl_practice_begin_read (BlPracticePage *self);
void bl_practice_begin_show (BlPracticePage *self);
/* The one chosen; FALSE: the shop has none. */
gboolean bl_practice_begin_subject (BlPracticePage *self, BlPracticeSubject *subject);
/* Ids of the sections that are pressed; NULL: none or all are, which is the same. (transfer full) */
char **bl_practice_begin_sections (BlPracticePage *self);
/* Begins an exercise by its number on the page, from 1. FALSE: there is none. */
gboolean bl_practice_begin_number (BlPracticePage *self, guint number);

GtkWidget *bl_practice_due_new (BlPracticePage *self);
void bl_practice_due_show (BlPracticePage *self);

/* bl-practice-drills.c: what begins a drill, a worked case, a planted fault; and the drills of whoever practises. */
void bl_practice_begin_drill (BlPracticePage *self);
void bl_practice_begin_worked (BlPracticePage *self);
void bl_practice_begin_plant (BlPracticePage *self);
GtkWidget *bl_practice_drills_new (BlPracticePage *self);
void bl_practice_drills_show (BlPracticePage *self);
/* How many drills wait for a person, composed, given or planted, none of them begun; first: the id of the one made the
 * longest ago, words: which one it is (transfer full); both may be NULL and are left alone where none waits. */
guint bl_practice_waiting (BlPracticePage *self, gint64 person, gint64 *first, char **words);
/* To how many drills a set is to have; Enter there composes it. */
void bl_practice_compose_focus (BlPracticePage *self);
/* Whether a conductor can fail: only of an equipment. */
void bl_practice_kinds_allow (BlPracticePage *self, gboolean conductor);

GtkWidget *bl_practice_progress_new (BlPracticePage *self);
void bl_practice_progress_show (BlPracticePage *self);

/* A round of questions; sections NULL: all, topic NULL: any. */
void bl_practice_page_ask (BlPracticePage *self, BlAnswerKind kind, const char *const *sections, const char *topic);
/* Opens a drill of the library of practice. */
void bl_practice_page_drill (BlPracticePage *self, gint64 drill);
/* Shows something that was begun, which has signal "done", in the place of the page. */
void bl_practice_page_begin (BlPracticePage *self, GtkWidget *activity);
/* A label that wraps. (transfer floating) */
GtkWidget *bl_practice_words (const char *text, const char *css);

G_END_DECLS
