"""A development tool: renders the sample's photographs with their exact truth. It needs `bpy`; nothing else does."""
