"""The judgement: criteria against parts, the chain of consequences, the outcome."""
