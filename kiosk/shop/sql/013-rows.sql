-- Garments of a batch are rows of five texts (006); nothing else is stored, from any writer.
-- Existing rows are left as they are.

CREATE FUNCTION shop.are_garments(found jsonb) RETURNS boolean
LANGUAGE sql IMMUTABLE SET search_path = pg_catalog, pg_temp AS $$
    SELECT CASE WHEN jsonb_typeof(found) <> 'array' OR found = '[]' THEN false
        ELSE NOT EXISTS (
            SELECT FROM jsonb_array_elements(found) AS g
            WHERE CASE WHEN jsonb_typeof(g) <> 'array' OR g = '[]' THEN true
                ELSE jsonb_array_length(g) <> 5 OR EXISTS (
                    SELECT FROM jsonb_array_elements(g) AS t WHERE jsonb_typeof(t) <> 'string')
                END) END;
$$;
ALTER TABLE shop.batches ADD CONSTRAINT rows_of_garments
    CHECK (shop.are_garments(garments)) NOT VALID;
