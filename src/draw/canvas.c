#include "loomtag/draw.h"

void lt_canvas_destroy(struct lt_canvas *canvas)
{
	if (canvas == NULL)
		return;
	if (canvas->destroy != NULL)
		canvas->destroy(canvas->data);
	*canvas = (struct lt_canvas){ 0 };
}
