/* SPDX-License-Identifier: GPL-3.0-or-later */
/* One photo in place of another without losing the place. Photos of two boards are of different sizes; what is kept is
 * the part of the picture that is seen, not its pixels. */
#include "config.h"

#include "bl-photo-exchange.h"

#include "bl-photo-view-private.h"

void
bl_photo_view_exchange_surface (BlPhotoView *self, BlPhotoSurface *surface, const char *message)
{
  g_return_if_fail (BL_IS_PHOTO_VIEW (self));
  BlViewport before = self->viewport;
  gboolean had = self->surface != NULL && before.image_w > 0 && !before.fitted;

  bl_photo_view_set_surface (self, surface, message);
  if (!had || self->surface == NULL || self->viewport.image_w <= 0)
    return;
  double share = self->viewport.image_w / before.image_w;
  self->viewport.fitted = FALSE;
  self->viewport.zoom = before.zoom / share;
  self->viewport.x = before.x * share;
  self->viewport.y = before.y * self->viewport.image_h / before.image_h;
  gtk_widget_queue_draw (GTK_WIDGET (self));
}
