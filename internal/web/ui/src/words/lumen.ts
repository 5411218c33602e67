export const lumen = {
  picture: (tube: string) => `Cross-section of the ${tube}, to scale; what lies in it is listed beside it`,
  bore: "bore", spare: "spare", holds: "in it", none: "No lumen holds anything.",
};
