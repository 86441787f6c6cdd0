"""The light run: strip, driver and cable, and how bright the room gets. Arithmetic apart from documents."""
