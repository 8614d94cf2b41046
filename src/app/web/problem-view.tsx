// A refusal of the server, where it occurred: what is wrong, and what to try.
import type { Problem } from '../api/api.ts';

export function ProblemView({ problem }: { problem: Problem }) {
  return (
    <div className="refusal" role="alert">
      <p>{problem.detail}</p>
      {problem.tryThis !== '' && <p className="refusal-try">{problem.tryThis}</p>}
      {problem.code !== '' && <p className="code">{problem.code}</p>}
    </div>
  );
}
