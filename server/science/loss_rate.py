"""How fast a dog may lose."""

# Small Animal Clinical Nutrition, 5th ed., Box 27-12 and p. 522 [% of body weight per week]. The
# ceiling rests on human data; the book says that dog data are lacking.
LOSS_LOW_PCT, LOSS_HIGH_PCT = 0.5, 2.0
