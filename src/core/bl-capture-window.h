/* SPDX-License-Identifier: GPL-3.0-or-later */
#pragma once

#include "bl-capture.h"

G_BEGIN_DECLS

/* Private to core: a meter's last values. */

#define BL_CAPTURE_KEPT 128

typedef struct
{
  BlSample sample;
  gboolean blank; /* may be the meter changing its range */
} BlCaptureKept;

typedef struct
{
  BlCaptureKept kept[BL_CAPTURE_KEPT]; /* oldest first */
  guint n;
} BlCaptureWindow;

void bl_capture_window_clear (BlCaptureWindow *window);
void bl_capture_window_add (BlCaptureWindow *window, const BlSample *sample, gboolean blank);

/* TRUE where the last values stand still; *still is the last of them, with the digits all of them had. */
gboolean bl_capture_window_still (const BlCaptureWindow *window, BlSample *still);

/* TRUE where the last values changed all the time; *low and *high are their ends. */
gboolean bl_capture_window_wanders (const BlCaptureWindow *window, double *low, double *high);

G_END_DECLS
