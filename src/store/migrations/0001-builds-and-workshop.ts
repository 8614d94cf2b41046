// The first tables: builds, their versions, and the records of the workshop.
import { type Kysely, type Migration, sql } from 'kysely';

export const buildsAndWorkshop: Migration = {
  async up(database: Kysely<never>): Promise<void> {
    await sql`create sequence helmwright.change_order`.execute(database);
    await sql`
      create table helmwright.builds (
        id text primary key,
        stands integer not null,
        redo json not null,
        card json not null,
        begun_at timestamptz not null,
        changed_at timestamptz not null,
        changed_no bigint not null default nextval('helmwright.change_order')
      )`.execute(database);
    await sql`
      create table helmwright.versions (
        build text not null references helmwright.builds (id) on delete cascade,
        number integer not null check (number >= 1),
        made_from integer check (made_from >= 1 and made_from < number),
        kind text not null check (kind in ('begun', 'set', 'restored')),
        path text not null,
        made_at timestamptz not null,
        whole json not null,
        primary key (build, number),
        foreign key (build, made_from) references helmwright.versions (build, number)
      )`.execute(database);
    // Both ways at once: a build stands on a version of its own. Checked at the end of a transaction, since each needs the other.
    await sql`
      alter table helmwright.builds add foreign key (id, stands)
        references helmwright.versions (build, number) deferrable initially deferred`.execute(database);
    await sql`
      create table helmwright.kept (
        kind text not null check (kind in ('machine', 'material', 'maker')),
        id text not null,
        revision integer not null check (revision >= 1),
        record json not null,
        place bigint generated always as identity,
        primary key (kind, id)
      )`.execute(database);
  },
};
