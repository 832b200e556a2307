"""Photos: opened within bounds, turned upright, made sRGB, straightened, written again."""
