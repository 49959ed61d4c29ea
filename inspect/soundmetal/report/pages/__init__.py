"""The pages of the customer's report: each module turns a telling into the context of one template."""
