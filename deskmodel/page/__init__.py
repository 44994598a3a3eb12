"""The page: the desk in three dimensions with its findings, as one html file.

``scene.py`` says what the page shows, as data; ``web/`` is the page's own source (html, css, ES modules), bundled when this
package is built (``_hook.py``); ``document.py`` puts both together. The live page has no data in it and fetches them.
"""

from deskmodel.page.document import csp_header, live_page, read_standalone, standalone
from deskmodel.page.scene import PageBody, PageShape, Scene, part_changes, scene_of
from deskmodel.page.shape_blob import ReadBlob, read_blob, shape_blob

__all__ = ["PageBody", "PageShape", "ReadBlob", "Scene", "csp_header", "live_page", "part_changes", "read_blob",
           "read_standalone", "scene_of", "shape_blob", "standalone"]
