"""Pictures from plans: isometric views, views in third angle, steps and parts, as data and as SVG."""
