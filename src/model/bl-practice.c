/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Who practises, what they answered, and what is due. Everything is asked of the library anew when it is wanted: a person
 * has some thousand answers, which is a matter of milliseconds. Drills are in bl-practice-drills.c, how it went in
 * bl-practice-gather.c. */
#include "config.h"

#include "bl-practice-private.h"

#include "bl-library-steps.h"

#include <glib/gi18n-lib.h>

enum
{
  CHANGED,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

G_DEFINE_FINAL_TYPE (BlPractice, bl_practice, G_TYPE_OBJECT)

gboolean
bl_practice_reload (BlPractice *self, GError **error)
{
  GPtrArray *persons = bl_library_persons (self->library, error);

  if (persons == NULL)
    return FALSE;
  g_clear_pointer (&self->persons, g_ptr_array_unref);
  self->persons = persons;
  g_signal_emit (self, signals[CHANGED], 0);
  return TRUE;
}

BlPractice *
bl_practice_new (BlLibrary *shop, const char *path, GError **error)
{
  g_return_val_if_fail (shop != NULL, NULL);
  g_autofree char *usual = path == NULL ? bl_library_practice_path (shop) : NULL;
  g_autoptr (BlPractice) self = g_object_new (BL_TYPE_PRACTICE, NULL);

  self->shop = shop;
  self->library = bl_library_open (path != NULL ? path : usual, TRUE, error);
  if (self->library == NULL || !bl_practice_reload (self, error))
    return NULL;
  return g_steal_pointer (&self);
}

BlLibrary *
bl_practice_get_library (BlPractice *self)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), NULL);
  return self->library;
}

BlLibrary *
bl_practice_get_shop (BlPractice *self)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), NULL);
  return self->shop;
}

guint32
bl_practice_day_of (gint64 time)
{
  g_autoptr (GDateTime) moment = g_date_time_new_from_unix_local (time / G_USEC_PER_SEC);
  GDate date;

  g_date_clear (&date, 1);
  g_date_set_dmy (&date, (GDateDay) g_date_time_get_day_of_month (moment), (GDateMonth) g_date_time_get_month (moment),
                  (GDateYear) g_date_time_get_year (moment));
  return g_date_get_julian (&date);
}

guint32
bl_practice_today (BlPractice *self)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), 0);
  return bl_practice_day_of (bl_library_now ());
}

/* --- persons --- */

GPtrArray *
bl_practice_get_persons (BlPractice *self)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), NULL);
  return self->persons;
}

const BlPerson *
bl_practice_get_person (BlPractice *self)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), NULL);
  for (guint i = 0; i < self->persons->len; i++)
    if (((const BlPerson *) g_ptr_array_index (self->persons, i))->practising)
      return g_ptr_array_index (self->persons, i);
  return NULL;
}

gboolean
bl_practice_set_person (BlPractice *self, gint64 person, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), FALSE);
  return bl_library_set_practising (self->library, person, error) && bl_practice_reload (self, error);
}

gint64
bl_practice_add_person (BlPractice *self, const char *name, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self) && name != NULL, 0);
  const char *doing = _ ("adding a person");

  if (!bl_library_begin (self->library, doing, error))
    return 0;
  gint64 id = bl_library_add_person (self->library, name, error);
  gboolean ok = id != 0 && bl_library_set_practising (self->library, id, error);
  return bl_library_end (self->library, ok, doing, error) && bl_practice_reload (self, error) ? id : 0;
}

gboolean
bl_practice_rename_person (BlPractice *self, gint64 person, const char *name, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self) && name != NULL, FALSE);
  if (bl_library_rename_person (self->library, person, name, error))
    return bl_practice_reload (self, error);
  /* Renamed perhaps all the same, and only the name before could not be wiped. */
  bl_practice_reload (self, NULL);
  return FALSE;
}

gboolean
bl_practice_remove_person (BlPractice *self, gint64 person, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), FALSE);
  if (bl_library_remove_person (self->library, person, error))
    return bl_practice_reload (self, error);
  /* Removed perhaps all the same, and only what was deleted could not be wiped: nobody is shown who is gone. */
  bl_practice_reload (self, NULL);
  return FALSE;
}

/* --- topics --- */

void
bl_topic_free (BlTopic *topic)
{
  if (topic == NULL)
    return;
  g_free (topic->topic);
  g_free (topic->title);
  g_free (topic);
}

gboolean
bl_drill_row_is_right (const BlDrillRow *row)
{
  return row->stage_right && row->component_right && !row->failed;
}

static BlTopic *
find_topic (GPtrArray *topics, BlTopicKind kind, const char *name)
{
  for (guint i = 0; name != NULL && i < topics->len; i++)
    {
      BlTopic *topic = g_ptr_array_index (topics, i);
      if (topic->kind == kind && g_str_equal (topic->topic, name))
        return topic;
    }
  return NULL;
}

static void
count (GPtrArray *topics, BlTopicKind kind, const char *name, gboolean right)
{
  BlTopic *topic = find_topic (topics, kind, name);

  if (topic == NULL)
    return;
  if (right)
    topic->n_right++;
  else
    topic->n_wrong++;
}

/* Fills in how often each was right and wrong. */
static gboolean
count_all (BlPractice *self, gint64 person, GPtrArray *topics, GError **error)
{
  g_autoptr (GPtrArray) answers = bl_library_answers (self->library, person, error);
  g_autoptr (GPtrArray) drills = answers != NULL ? bl_library_drills (self->library, person, error) : NULL;

  if (drills == NULL)
    return FALSE;
  for (guint i = 0; i < answers->len; i++)
    {
      const BlAnswer *answer = g_ptr_array_index (answers, i);
      if (answer->kind != BL_ANSWER_WORKED)
        count (topics, answer->kind == BL_ANSWER_WAY ? BL_TOPIC_WAY : BL_TOPIC_READS, answer->topic, answer->right);
    }
  for (guint i = 0; i < drills->len; i++)
    {
      const BlDrillRow *row = g_ptr_array_index (drills, i);
      if (!row->scored)
        continue;
      count (topics, BL_TOPIC_SECTION, row->section_kind, bl_drill_row_is_right (row));
      count (topics, BL_TOPIC_FAMILY, row->family, bl_drill_row_is_right (row));
    }
  return TRUE;
}

/* Not counted yet. (transfer full) */
static GPtrArray *
read_topics (BlPractice *self, gint64 person, GError **error)
{
  g_autoptr (GPtrArray) rows = bl_library_topics (self->library, person, error);
  g_autoptr (GPtrArray) topics = g_ptr_array_new_with_free_func ((GDestroyNotify) bl_topic_free);
  guint32 today = bl_practice_today (self);

  for (guint i = 0; rows != NULL && i < rows->len; i++) /* by the day they are due */
    {
      const BlTopicRow *row = g_ptr_array_index (rows, i);
      BlTopic *topic = g_new0 (BlTopic, 1);
      topic->kind = row->kind;
      topic->topic = g_strdup (row->topic);
      topic->title = bl_topic_words (row->kind, row->topic);
      topic->due = row->spacing.due;
      topic->days = (int) row->spacing.due - (int) today;
      g_ptr_array_add (topics, topic);
    }
  return rows != NULL ? g_steal_pointer (&topics) : NULL;
}

GPtrArray *
bl_practice_topics (BlPractice *self, gint64 person, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), NULL);
  g_autoptr (GPtrArray) topics = read_topics (self, person, error);

  return topics != NULL && count_all (self, person, topics, error) ? g_steal_pointer (&topics) : NULL;
}

GPtrArray *
bl_practice_due (BlPractice *self, gint64 person, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self), NULL);
  g_autoptr (GPtrArray) topics = read_topics (self, person, error);

  for (guint i = topics != NULL ? topics->len : 0; i > 0; i--)
    if (((BlTopic *) g_ptr_array_index (topics, i - 1))->days > 0)
      g_ptr_array_remove_index (topics, i - 1);
  return g_steal_pointer (&topics);
}

double
bl_practice_weight (BlPractice *self, gint64 person, BlTopicKind kind, const char *topic)
{
  g_autoptr (GPtrArray) topics = bl_practice_topics (self, person, NULL);
  const BlTopic *found = topics != NULL ? find_topic (topics, kind, topic) : NULL;

  return found != NULL ? bl_weak_share (found->n_right, found->n_wrong) : bl_weak_share (0, 0);
}

gboolean
bl_practice_move_topic (BlPractice *self, gint64 person, BlTopicKind kind, const char *topic, gboolean right,
                        GError **error)
{
  g_autoptr (GPtrArray) rows = bl_library_topics (self->library, person, error);
  BlTopicRow moved = { kind, (char *) topic, { 0, 0, 0 } };

  if (rows == NULL)
    return FALSE;
  for (guint i = 0; i < rows->len; i++)
    {
      const BlTopicRow *row = g_ptr_array_index (rows, i);
      if (row->kind == kind && g_strcmp0 (row->topic, topic) == 0)
        moved.spacing = row->spacing;
    }
  bl_spacing_answer (&moved.spacing, right, bl_practice_today (self));
  return bl_library_put_topic (self->library, person, &moved, error);
}

/* --- answers --- */

gboolean
bl_practice_answer (BlPractice *self, BlAnswerKind kind, const char *subject, const char *section, const char *what,
                    gboolean right, gboolean near, GError **error)
{
  g_return_val_if_fail (BL_IS_PRACTICE (self) && (kind == BL_ANSWER_WAY || kind == BL_ANSWER_READS), FALSE);
  g_return_val_if_fail (subject != NULL && section != NULL && what != NULL, FALSE);
  const char *doing = _ ("keeping the answer");
  const BlPerson *person = bl_practice_get_person (self);

  if (person == NULL)
    {
      g_set_error_literal (error, BL_STORE_ERROR, BL_STORE_ERROR_INVALID, _ ("Nobody practises: say who does first."));
      return FALSE;
    }
  BlAnswer answer = { .person = person->id, .kind = kind, .subject = (char *) subject, .topic = (char *) section,
                      .what = (char *) what, .right = right, .near = near && !right, .asked = TRUE };
  if (!bl_library_begin (self->library, doing, error))
    return FALSE;
  gboolean ok = bl_library_add_answer (self->library, &answer, error)
                && (*section == '\0'
                    || bl_practice_move_topic (self, person->id, kind == BL_ANSWER_WAY ? BL_TOPIC_WAY : BL_TOPIC_READS,
                                               section, right, error));
  return bl_library_end (self->library, ok, doing, error) && bl_practice_reload (self, error);
}

/* --- the object --- */

static void
bl_practice_finalize (GObject *object)
{
  BlPractice *self = BL_PRACTICE (object);

  g_clear_pointer (&self->persons, g_ptr_array_unref);
  g_clear_pointer (&self->met, g_ptr_array_unref);
  g_clear_pointer (&self->library, bl_library_close);
  G_OBJECT_CLASS (bl_practice_parent_class)->finalize (object);
}

static void
bl_practice_class_init (BlPracticeClass *klass)
{
  G_OBJECT_CLASS (klass)->finalize = bl_practice_finalize;
  signals[CHANGED] = g_signal_new ("changed", BL_TYPE_PRACTICE, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
}

static void
bl_practice_init (BlPractice *self)
{
}
