/* SPDX-License-Identifier: GPL-3.0-or-later */
/* A camera, by GStreamer. Opening a video device can block for ever in its driver, and so can closing it; loading the
 * plugins for the first time takes seconds. So each start makes a thread that does all of it, and shares only a Run
 * with the object: the object lets go of it and never waits for the thread. A driver that hangs costs one thread.
 *
 * Frames come at the camera's own rate; one that is late is dropped, for the newest is what counts. Codes are looked
 * for in each frame in that thread, some 10 ms at 640 by 480. */
#include "config.h"

#include "bl-camera.h"

#include <glib/gi18n-lib.h>
#include <glib/gstdio.h>
#include <gst/app/gstappsink.h>
#include <gst/gst.h>
#include <gst/video/video.h>
#include <string.h>
#include <unistd.h>

#include "bl-code-reader.h"

#define PATIENCE_S 8
#define AGAIN_US (3 * G_USEC_PER_SEC)
#define PULL_NS (100 * GST_MSECOND)

/* What the thread and the object share; each holds a reference. */
typedef struct
{
  gatomicrefcount references;
  GMutex lock;
  gboolean ended;    /* lock */
  BlCamera *camera;  /* lock; NULL: it has let go. Used in the context's thread only */
  GMainContext *context;
  char *source;
  GBytes *frame; /* lock */
  int width, height, stride;
  gboolean said; /* lock: that there is a newer frame is on its way */
} Run;

struct _BlCamera
{
  GObject parent_instance;
  char *source;
  guint patience;
  Run *run; /* NULL: not running */
  GSource *waiting;
};

G_DEFINE_FINAL_TYPE (BlCamera, bl_camera, G_TYPE_OBJECT)

enum
{
  FRAME,
  CODE,
  TROUBLE,
  N_SIGNALS
};
static guint signals[N_SIGNALS];

static Run *
run_ref (Run *run)
{
  g_atomic_ref_count_inc (&run->references);
  return run;
}

static void
run_unref (Run *run)
{
  if (!g_atomic_ref_count_dec (&run->references))
    return;
  g_mutex_clear (&run->lock);
  g_clear_pointer (&run->frame, g_bytes_unref);
  g_main_context_unref (run->context);
  g_free (run->source);
  g_free (run);
}

static gboolean
run_has_ended (Run *run)
{
  g_mutex_lock (&run->lock);
  gboolean ended = run->ended;
  g_mutex_unlock (&run->lock);
  return ended;
}

/* --- from the thread to the object --- */

typedef struct
{
  Run *run;
  guint signal;
  char *text;
} Message;

static void
message_free (gpointer data)
{
  Message *message = data;

  run_unref (message->run);
  g_free (message->text);
  g_free (message);
}

static void
stop_waiting (BlCamera *self)
{
  if (self->waiting != NULL)
    g_source_destroy (self->waiting);
  g_clear_pointer (&self->waiting, g_source_unref);
}

static gboolean
deliver (gpointer data)
{
  Message *message = data;

  g_mutex_lock (&message->run->lock);
  if (message->signal == FRAME)
    message->run->said = FALSE;
  BlCamera *camera = message->run->camera != NULL ? g_object_ref (message->run->camera) : NULL;
  g_mutex_unlock (&message->run->lock);
  if (camera == NULL)
    return G_SOURCE_REMOVE;
  stop_waiting (camera);
  if (message->signal == TROUBLE)
    bl_camera_stop (camera);
  if (message->signal == FRAME)
    g_signal_emit (camera, signals[FRAME], 0);
  else
    g_signal_emit (camera, signals[message->signal], 0, message->text);
  g_object_unref (camera);
  return G_SOURCE_REMOVE;
}

static void
send (Run *run, guint signal, const char *text)
{
  Message *message = g_new0 (Message, 1);
  g_autoptr (GSource) source = g_idle_source_new ();

  message->run = run_ref (run);
  message->signal = signal;
  message->text = g_strdup (text);
  g_source_set_priority (source, G_PRIORITY_DEFAULT);
  g_source_set_callback (source, deliver, message, message_free);
  g_source_attach (source, run->context);
}

/* --- in the thread --- */

static void
keep_frame (Run *run, const GstVideoFrame *frame)
{
  int width = GST_VIDEO_FRAME_WIDTH (frame), height = GST_VIDEO_FRAME_HEIGHT (frame);
  int stride = GST_VIDEO_FRAME_PLANE_STRIDE (frame, 0);
  GBytes *bytes = g_bytes_new (GST_VIDEO_FRAME_PLANE_DATA (frame, 0), (gsize) stride * (gsize) height);

  g_mutex_lock (&run->lock);
  g_clear_pointer (&run->frame, g_bytes_unref);
  run->frame = bytes;
  run->width = width;
  run->height = height;
  run->stride = stride;
  gboolean say = !run->said;
  run->said = TRUE;
  g_mutex_unlock (&run->lock);
  if (say)
    send (run, FRAME, NULL);
}

static GPtrArray *
codes_in (const GstVideoFrame *frame)
{
  guint width = (guint) GST_VIDEO_FRAME_WIDTH (frame), height = (guint) GST_VIDEO_FRAME_HEIGHT (frame);
  const guint8 *pixels = GST_VIDEO_FRAME_PLANE_DATA (frame, 0);
  gsize stride = (gsize) GST_VIDEO_FRAME_PLANE_STRIDE (frame, 0);
  g_autofree guint8 *grey = g_malloc ((gsize) width * height);

  for (guint y = 0; y < height; y++)
    for (guint x = 0; x < width; x++)
      {
        const guint8 *at = pixels + y * stride + 4 * x;
        grey[(gsize) y * width + x] = (guint8) ((29u * at[0] + 150u * at[1] + 77u * at[2]) >> 8);
      }
  return bl_codes_read_frame (grey, width, height, width);
}

typedef struct
{
  char *last;
  gint64 last_time;
  gboolean any; /* there was a picture */
} Seen;

static void
look_at (Run *run, GstSample *sample, Seen *seen)
{
  GstVideoInfo info;
  GstVideoFrame frame;

  if (!gst_video_info_from_caps (&info, gst_sample_get_caps (sample))
      || !gst_video_frame_map (&frame, &info, gst_sample_get_buffer (sample), GST_MAP_READ))
    return;
  seen->any = TRUE;
  keep_frame (run, &frame);
  g_autoptr (GPtrArray) codes = codes_in (&frame);
  gst_video_frame_unmap (&frame);
  for (guint i = 0; i < codes->len; i++)
    {
      const BlCode *code = g_ptr_array_index (codes, i);
      gint64 now = g_get_monotonic_time ();
      if (g_strcmp0 (code->text, seen->last) == 0 && now - seen->last_time < AGAIN_US)
        continue;
      g_free (seen->last);
      seen->last = g_strdup (code->text);
      seen->last_time = now;
      send (run, CODE, code->text);
    }
}

static char *
words_of_error (const GError *error, const char *where)
{
  if (g_error_matches (error, GST_RESOURCE_ERROR, GST_RESOURCE_ERROR_BUSY))
    return g_strdup_printf (_ ("Another program uses the camera %s."), where);
  if (g_error_matches (error, GST_RESOURCE_ERROR, GST_RESOURCE_ERROR_NOT_FOUND))
    return g_strdup_printf (_ ("There is no camera %s any more."), where);
  return g_strdup_printf (_ ("The camera %s gives no picture: %s"), where, error->message);
}

/* An error of the pipeline, or that its pictures have ended. (transfer full), NULL: neither */
static char *
trouble_on_bus (GstElement *pipeline, const char *where)
{
  g_autoptr (GstBus) bus = gst_element_get_bus (pipeline);
  g_autoptr (GstMessage) message = gst_bus_pop_filtered (bus, GST_MESSAGE_ERROR | GST_MESSAGE_EOS);
  g_autoptr (GError) error = NULL;

  if (message == NULL)
    return NULL;
  if (GST_MESSAGE_TYPE (message) == GST_MESSAGE_EOS)
    return g_strdup (_ ("The camera has stopped giving pictures."));
  gst_message_parse_error (message, &error, NULL);
  return words_of_error (error, where);
}

static char *
watch (Run *run, GstElement *pipeline, const char *where, Seen *seen)
{
  g_autoptr (GstElement) sink = gst_bin_get_by_name (GST_BIN (pipeline), "frames");
  char *trouble = NULL;

  gst_element_set_state (pipeline, GST_STATE_PLAYING);
  while (trouble == NULL && !run_has_ended (run))
    {
      g_autoptr (GstSample) sample = gst_app_sink_try_pull_sample (GST_APP_SINK (sink), PULL_NS);
      if (sample != NULL)
        look_at (run, sample, seen);
      else
        {
          trouble = trouble_on_bus (pipeline, where);
          if (trouble == NULL && gst_app_sink_is_eos (GST_APP_SINK (sink)))
            trouble = g_strdup (_ ("The camera has stopped giving pictures."));
        }
    }
  gst_element_set_state (pipeline, GST_STATE_NULL);
  return trouble;
}

/* Shows what source gives until it ends or run does. Returns what went wrong, NULL: nothing. (transfer full) */
static char *
run_source (Run *run, const char *source, const char *where, Seen *seen)
{
  g_autoptr (GError) error = NULL;
  g_autofree char *words = g_strdup_printf ("%s ! decodebin ! videoconvert ! video/x-raw,format=BGRx ! "
                                            "appsink name=frames sync=false max-buffers=1 drop=true", source);
  g_autoptr (GstElement) pipeline = gst_parse_launch (words, &error);

  if (pipeline != NULL && error == NULL)
    return watch (run, pipeline, where, seen);
  return g_strdup_printf (_ ("Pictures of a camera cannot be shown here: %s"), error != NULL ? error->message : "?");
}

/* Video devices in order of their numbers. */
static GPtrArray *
devices (void)
{
  GPtrArray *found = g_ptr_array_new_with_free_func (g_free);

  for (int i = 0; i < 64; i++)
    {
      char *path = g_strdup_printf ("/dev/video%d", i);
      if (g_file_test (path, G_FILE_TEST_EXISTS))
        g_ptr_array_add (found, path);
      else
        g_free (path);
    }
  return found;
}

/* A camera has several devices, and only some of them give pictures: each is tried until one does. */
static char *
run_devices (Run *run, Seen *seen)
{
  g_autoptr (GPtrArray) paths = devices ();
  g_autofree char *trouble = NULL;

  if (paths->len == 0)
    return g_strdup (_ ("There is no camera: connect one, then try again."));
  for (guint i = 0; i < paths->len && !seen->any && !run_has_ended (run); i++)
    {
      const char *path = g_ptr_array_index (paths, i);
      g_autofree char *source = g_strdup_printf ("v4l2src device=%s", path);
      char *said = g_access (path, R_OK | W_OK) == 0
                     ? run_source (run, source, path, seen)
                     : g_strdup_printf (_ ("The camera %s may not be opened by this user: it takes the right to read and "
                                           "write it, on most systems as a member of the group “video”."), path);
      if (trouble == NULL || seen->any)
        {
          g_free (trouble);
          trouble = said;
        }
      else
        g_free (said);
    }
  return g_steal_pointer (&trouble);
}

static gpointer
run_in_thread (gpointer data)
{
  Run *run = data;
  Seen seen = { NULL, 0, FALSE };
  g_autoptr (GError) error = NULL;
  g_autofree char *trouble = NULL;

  if (!gst_init_check (NULL, NULL, &error))
    trouble = g_strdup_printf (_ ("Pictures of a camera cannot be shown here: %s"), error != NULL ? error->message : "?");
  else if (run->source != NULL)
    trouble = run_source (run, run->source, run->source, &seen);
  else
    trouble = run_devices (run, &seen);
  g_free (seen.last);
  if (trouble != NULL && !run_has_ended (run))
    send (run, TROUBLE, trouble);
  run_unref (run);
  return NULL;
}

/* --- the object --- */

static gboolean
no_picture (gpointer data)
{
  BlCamera *self = g_object_ref (data);

  g_clear_pointer (&self->waiting, g_source_unref);
  bl_camera_stop (self);
  g_signal_emit (self, signals[TROUBLE], 0,
                 _ ("The camera does not answer: take it out, put it in again, then try again."));
  g_object_unref (self);
  return G_SOURCE_REMOVE;
}

void
bl_camera_start (BlCamera *self)
{
  g_return_if_fail (BL_IS_CAMERA (self));

  if (self->run != NULL)
    return;
  Run *run = self->run = g_new0 (Run, 1);
  g_atomic_ref_count_init (&run->references);
  g_mutex_init (&run->lock);
  run->camera = self;
  run->context = g_main_context_ref_thread_default ();
  run->source = g_strdup (self->source);
  self->waiting = g_timeout_source_new_seconds (self->patience);
  g_source_set_callback (self->waiting, no_picture, self, NULL);
  g_source_attach (self->waiting, run->context);
  g_thread_unref (g_thread_new ("camera", run_in_thread, run_ref (run)));
}

void
bl_camera_stop (BlCamera *self)
{
  g_return_if_fail (BL_IS_CAMERA (self));

  stop_waiting (self);
  if (self->run == NULL)
    return;
  g_mutex_lock (&self->run->lock);
  self->run->ended = TRUE;
  self->run->camera = NULL;
  g_mutex_unlock (&self->run->lock);
  g_clear_pointer (&self->run, run_unref);
}

gboolean
bl_camera_is_running (BlCamera *self)
{
  g_return_val_if_fail (BL_IS_CAMERA (self), FALSE);
  return self->run != NULL;
}

GBytes *
bl_camera_get_frame (BlCamera *self, int *width, int *height, int *stride)
{
  g_return_val_if_fail (BL_IS_CAMERA (self) && width != NULL && height != NULL && stride != NULL, NULL);
  GBytes *frame = NULL;

  if (self->run == NULL)
    return NULL;
  g_mutex_lock (&self->run->lock);
  if (self->run->frame != NULL)
    frame = g_bytes_ref (self->run->frame);
  *width = self->run->width;
  *height = self->run->height;
  *stride = self->run->stride;
  g_mutex_unlock (&self->run->lock);
  return frame;
}

void
bl_camera_set_patience (BlCamera *self, guint seconds)
{
  g_return_if_fail (BL_IS_CAMERA (self) && seconds > 0);
  self->patience = seconds;
}

static void
bl_camera_dispose (GObject *object)
{
  bl_camera_stop (BL_CAMERA (object));
  G_OBJECT_CLASS (bl_camera_parent_class)->dispose (object);
}

static void
bl_camera_finalize (GObject *object)
{
  g_free (BL_CAMERA (object)->source);
  G_OBJECT_CLASS (bl_camera_parent_class)->finalize (object);
}

static void
bl_camera_class_init (BlCameraClass *klass)
{
  G_OBJECT_CLASS (klass)->dispose = bl_camera_dispose;
  G_OBJECT_CLASS (klass)->finalize = bl_camera_finalize;
  signals[FRAME] = g_signal_new ("frame", BL_TYPE_CAMERA, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 0);
  signals[CODE] = g_signal_new ("code", BL_TYPE_CAMERA, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                G_TYPE_STRING);
  signals[TROUBLE] = g_signal_new ("trouble", BL_TYPE_CAMERA, G_SIGNAL_RUN_LAST, 0, NULL, NULL, NULL, G_TYPE_NONE, 1,
                                   G_TYPE_STRING);
}

static void
bl_camera_init (BlCamera *self)
{
  self->patience = PATIENCE_S;
}

BlCamera *
bl_camera_new (const char *source)
{
  BlCamera *self = g_object_new (BL_TYPE_CAMERA, NULL);

  self->source = g_strdup (source);
  return self;
}
