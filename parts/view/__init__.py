"""The parts at their places on the vehicle, in a 3D viewer: an editor's, or one of our own."""

from parts.view.client import NoViewer
from parts.view.session import Asked, Unreadable, show

__all__ = ["Asked", "NoViewer", "Unreadable", "show"]
