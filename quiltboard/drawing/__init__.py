"""What a picture is made of, in millimetres, before anything paints it."""
