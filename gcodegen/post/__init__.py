"""Post: from operations to the text of a program, in plain RS-274 words, as a dialect wants them."""

from gcodegen.post.lathe import write_lathe
from gcodegen.post.lines import mark_not_fit
from gcodegen.post.mill import write_mill

__all__ = ["mark_not_fit", "write_lathe", "write_mill"]
