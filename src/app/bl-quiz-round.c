/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A round of questions without its screen. The board is that of the shop's library as it is now; what is asked is drawn
 * with weak topics more often. Photos are opened in the background and kept as long as the round lasts. */
#include "config.h"

#include "bl-quiz-round.h"

#include <glib/gi18n-lib.h>
#include <string.h>

#include "bl-library-equipment.h"
#include "bl-photo-loader.h"

struct _BlQuizRound
{
  GObject parent_instance;

  BlPractice *practice;
  BlPracticeSubject subject;
  BlAnswerKind kind;
  BlBoard *board;
  char *uid, *title, *topic;
  GPtrArray *roles;     /* BlEquipmentBoard of an equipment, or NULL */
  GPtrArray *questions; /* BlQuizQuestion */
  GPtrArray *judged;    /* BlQuizJudgement, NULL where there is no answer yet; as long as questions */
  guint at;
  GHashTable *weights; /* topic to double: all answers are read for it, and it is asked for with every candidate */
  BlPhotoLoader *loader;
};

enum { PHOTO, N_SIGNALS };
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlQuizRound, bl_quiz_round, G_TYPE_OBJECT)

/* --- the board --- */

static const char *
or_dash (const char *text)
{
  return text != NULL && *text != '\0' ? text : "–";
}

static gboolean
load_board (BlQuizRound *self, GError **error)
{
  BlLibrary *shop = bl_practice_get_shop (self->practice);

  if (self->subject.equipment == 0)
    {
      self->board = bl_library_load_board (shop, self->subject.board, error);
      if (self->board == NULL)
        return FALSE;
      self->uid = g_strdup (self->board->uid);
      self->title = g_strdup_printf (_ ("%s, edition %s"), or_dash (self->board->board_number), or_dash (self->board->edition));
      return TRUE;
    }
  g_autoptr (GPtrArray) equipments = bl_library_equipments (shop, error);
  self->board = equipments != NULL ? bl_library_join_equipment (shop, self->subject.equipment, NULL, error) : NULL;
  self->roles = self->board != NULL ? bl_library_equipment_boards (shop, self->subject.equipment, error) : NULL;
  for (guint i = 0; i < bl_len (equipments); i++)
    {
      const BlEquipmentRow *row = bl_at (equipments, i);
      if (row->id != self->subject.equipment)
        continue;
      self->uid = g_strdup (row->uid);
      self->title = g_strdup (row->title != NULL ? row->title : "");
    }
  return self->roles != NULL && self->uid != NULL;
}

static double
weight (const char *topic, gpointer data)
{
  BlQuizRound *self = data;
  const BlPerson *person = bl_practice_get_person (self->practice);
  BlTopicKind kind = self->kind == BL_ANSWER_WAY ? BL_TOPIC_WAY : BL_TOPIC_READS;

  if (self->topic != NULL && strcmp (self->topic, topic) != 0)
    return 0;
  if (person == NULL || *topic == '\0') /* what belongs to no section is no topic that could become due */
    return 0;
  double *known = g_hash_table_lookup (self->weights, topic);
  if (known == NULL)
    {
      known = g_new (double, 1);
      *known = bl_practice_weight (self->practice, person->id, kind, topic);
      g_hash_table_insert (self->weights, g_strdup (topic), known);
    }
  return *known;
}

BlQuizRound *
bl_quiz_round_new (BlPractice *practice, const BlPracticeSubject *subject, BlAnswerKind kind, const char *const *sections,
                   const char *topic, guint n, guint32 seed, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (practice) && subject != NULL, NULL);
  g_autoptr (BlQuizRound) self = g_object_new (BL_TYPE_QUIZ_ROUND, NULL);

  self->practice = g_object_ref (practice);
  self->subject = *subject;
  self->kind = kind;
  self->topic = g_strdup (topic);
  if (!load_board (self, error))
    return NULL;
  BlQuizOrder order = { sections, seed, n, weight, self };
  self->questions = kind == BL_ANSWER_WAY ? bl_quiz_way (self->board, &order) : bl_quiz_reads (self->board, &order);
  self->judged = g_ptr_array_new (); /* with gaps, which a free function would be called for too */
  g_ptr_array_set_size (self->judged, (int) self->questions->len);
  if (self->questions->len > 0)
    return g_steal_pointer (&self);
  g_set_error (error, BL_CORE_ERROR, BL_CORE_ERROR_IMPOSSIBLE,
               kind == BL_ANSWER_WAY ? _ ("Nothing of what you chose has a place on a photo of %s yet.")
                                     : _ ("Nothing of what you chose has an expected value on %s yet."),
               self->title);
  return NULL;
}

const BlBoard *
bl_quiz_round_get_board (BlQuizRound *self)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (self), NULL);
  return self->board;
}

const char *
bl_quiz_round_get_title (BlQuizRound *self)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (self), NULL);
  return self->title;
}

/* --- questions --- */

const BlQuizQuestion *
bl_quiz_round_at (BlQuizRound *self, guint place)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (self), NULL);
  return place < self->questions->len ? bl_at (self->questions, place) : NULL;
}

const BlQuizQuestion *
bl_quiz_round_question (BlQuizRound *self)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (self), NULL);
  return bl_quiz_round_at (self, self->at);
}

guint
bl_quiz_round_place (BlQuizRound *self)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (self), 0);
  return self->at;
}

static gboolean
same_thing (BlQuizRound *self, guint a, guint b)
{
  const BlQuizQuestion *one = bl_quiz_round_at (self, a), *other = bl_quiz_round_at (self, b);
  return one != NULL && other != NULL && one->of == other->of && g_str_equal (one->id, other->id);
}

void
bl_quiz_round_group (BlQuizRound *self, guint *first, guint *last)
{
  g_return_if_fail (BL_IS_QUIZ_ROUND (self));
  *first = *last = self->at;
  while (*first > 0 && same_thing (self, *first - 1, self->at))
    (*first)--;
  while (same_thing (self, *last + 1, self->at))
    (*last)++;
}

const BlQuizJudgement *
bl_quiz_round_judged (BlQuizRound *self, guint place)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (self), NULL);
  return place < self->judged->len ? bl_at (self->judged, place) : NULL;
}

gboolean
bl_quiz_round_keep (BlQuizRound *self, BlQuizJudgement *judgement, GError **error)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (self) && judgement != NULL, FALSE);
  const BlQuizQuestion *question = bl_quiz_round_question (self);

  if (question == NULL || bl_quiz_round_judged (self, self->at) != NULL
      || !bl_practice_answer (self->practice, self->kind, self->uid, question->topic, question->id,
                              judgement->mark == BL_QUIZ_RIGHT, judgement->mark == BL_QUIZ_NEAR, error))
    {
      bl_quiz_judgement_free (judgement);
      return FALSE;
    }
  self->judged->pdata[self->at] = judgement;
  return TRUE;
}

gboolean
bl_quiz_round_next (BlQuizRound *self)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (self), FALSE);
  self->at = MIN (self->at + 1, self->questions->len);
  return self->at < self->questions->len;
}

void
bl_quiz_round_count (BlQuizRound *self, guint *now, guint *n)
{
  g_return_if_fail (BL_IS_QUIZ_ROUND (self));
  *now = *n = 0;
  for (guint i = 0; i < self->questions->len; i++)
    {
      if (i == 0 || !same_thing (self, i - 1, i))
        (*n)++;
      if (i <= self->at)
        *now = *n;
    }
}

void
bl_quiz_round_tally (BlQuizRound *self, guint *right, guint *near, guint *wrong)
{
  g_return_if_fail (BL_IS_QUIZ_ROUND (self));
  *right = *near = *wrong = 0;
  for (guint i = 0; i < self->judged->len; i++)
    {
      const BlQuizJudgement *judged = bl_at (self->judged, i);
      if (judged == NULL)
        continue;
      *right += judged->mark == BL_QUIZ_RIGHT;
      *near += judged->mark == BL_QUIZ_NEAR;
      *wrong += judged->mark == BL_QUIZ_WRONG;
    }
}

/* --- photos --- */

static void
loaded (BlQuizRound *self, const char *id)
{
  g_signal_emit (self, signals[PHOTO], 0, id);
}

/* The box of an equipment that a photo is of, and its id there. (transfer none) */
static const BlEquipmentBoard *
box_of (BlQuizRound *self, const char *photo, const char **local)
{
  for (guint i = 0; i < bl_len (self->roles); i++)
    {
      const BlEquipmentBoard *box = bl_at (self->roles, i);
      gsize length = strlen (box->role);
      if (strncmp (photo, box->role, length) == 0 && photo[length] == '/')
        {
          *local = photo + length + 1;
          return box;
        }
    }
  return NULL;
}

static GBytes *
read_image (const char *id, gpointer data, GError **error)
{
  BlQuizRound *self = data;
  BlLibrary *shop = bl_practice_get_shop (self->practice);
  const char *local = id;
  const BlEquipmentBoard *box = box_of (self, id, &local);

  if (box != NULL)
    return bl_library_get_board_photo (shop, box->board, local, NULL, error);
  if (self->subject.equipment != 0)
    return bl_library_get_equipment_photo (shop, self->subject.equipment, id, NULL, error);
  return bl_library_get_board_photo (shop, self->subject.board, id, NULL, error);
}

BlPhotoSurface *
bl_quiz_round_photo (BlQuizRound *self, const char *id, const char **message)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (self) && id != NULL && message != NULL, NULL);
  return bl_photo_loader_get (self->loader, id, NULL, message);
}

char *
bl_quiz_round_photo_title (BlQuizRound *self, const BlPhoto *photo)
{
  g_return_val_if_fail (BL_IS_QUIZ_ROUND (self) && photo != NULL, NULL);
  const char *local = photo->id;
  const BlEquipmentBoard *box = box_of (self, photo->id, &local);
  const char *title = photo->title != NULL && *photo->title != '\0' ? photo->title
                      : g_strcmp0 (photo->side, "back") == 0        ? _ ("Back")
                      : g_strcmp0 (photo->side, "front") == 0       ? _ ("Front")
                                                                    : local;

  /* Translators: box of the equipment, photo of its board: "wall: Front" */
  return box != NULL ? g_strdup_printf (_ ("%s: %s"), box->role, title) : g_strdup (title);
}

/* --- object --- */

static void
bl_quiz_round_finalize (GObject *object)
{
  BlQuizRound *self = BL_QUIZ_ROUND (object);

  g_clear_pointer (&self->loader, bl_photo_loader_close);
  g_clear_object (&self->practice);
  g_clear_pointer (&self->questions, g_ptr_array_unref);
  for (guint i = 0; self->judged != NULL && i < self->judged->len; i++)
    bl_quiz_judgement_free (bl_at (self->judged, i));
  g_clear_pointer (&self->judged, g_ptr_array_unref);
  g_clear_pointer (&self->roles, g_ptr_array_unref);
  g_clear_pointer (&self->board, bl_board_free);
  g_hash_table_unref (self->weights);
  g_free (self->uid);
  g_free (self->title);
  g_free (self->topic);
  G_OBJECT_CLASS (bl_quiz_round_parent_class)->finalize (object);
}

static void
bl_quiz_round_class_init (BlQuizRoundClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_quiz_round_finalize;
  signals[PHOTO] = g_signal_new ("photo", BL_TYPE_QUIZ_ROUND, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                 G_TYPE_STRING);
}

static void
bl_quiz_round_init (BlQuizRound *self)
{
  self->weights = g_hash_table_new_full (g_str_hash, g_str_equal, g_free, g_free);
  self->loader = bl_photo_loader_new (read_image, self);
  g_signal_connect_object (self->loader, "loaded", G_CALLBACK (loaded), self, G_CONNECT_SWAPPED);
}
