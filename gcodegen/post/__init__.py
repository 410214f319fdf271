"""Post: from operations to the text of a program, in plain RS-274 words, as a dialect wants them."""

from gcodegen.post.lathe import write_lathe
from gcodegen.post.lines import mark_not_fit
from gcodegen.post.mill import write_mill
from gcodegen.post.restart import Restart, restart_map, restart_sheet

__all__ = ["Restart", "mark_not_fit", "restart_map", "restart_sheet", "write_lathe", "write_mill"]
